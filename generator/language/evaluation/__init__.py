"""Working out a syntax tree: the registry of calls, arithmetic, properties, prose."""
