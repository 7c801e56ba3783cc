"""What is printed true to size: templates, guides, bench cards, and the lines of cutting files."""
