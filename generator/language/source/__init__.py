"""From the text of a source to its parts: Markdown blocks, front matter values, typed measures."""
