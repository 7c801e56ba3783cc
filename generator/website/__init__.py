"""The MkDocs plugin and what the theme is handed."""
