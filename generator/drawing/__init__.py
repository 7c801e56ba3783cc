"""Pictures: one pen, a recording of what it was told, front ends that use it and back ends that draw.

Names are taken from its files: who asks for the colours of papers needs no back end.
"""
