"""Back ends: what turns a recording or pages into SVG, PNG, PDF and DXF."""
