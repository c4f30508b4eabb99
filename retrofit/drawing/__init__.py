"""Drawings in millimetres as SVG, made from an assessment; the same on screen and on paper."""
