"""What is asked of a whole tutorial once its plans are there: one idea a file, from plans to findings."""
