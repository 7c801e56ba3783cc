"""The tutorial language: its source files, its syntax, its evaluation and its reusable parts."""
