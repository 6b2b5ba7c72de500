"""Plots of a solved harness, drawn by matplotlib; `style.written` makes SVG, PDF or PNG of them.

The same figures give the same bytes. Every function raises Refusal where there is nothing to plot.
"""
