"""Sheets that bend.

What lies beside curved scores, as triangles whose lengths are kept and whose bending is penalised.
"""
