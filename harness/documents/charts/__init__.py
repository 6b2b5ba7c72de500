"""Plots of a solved harness, drawn by matplotlib: SVG text, or PDF or PNG bytes.

The same figures give the same bytes. Every function raises Refusal where there is nothing to plot.
"""

from harness.documents.charts.endurance import endurance_chart
from harness.documents.charts.equalise import equalise_chart
from harness.documents.charts.share import share_chart
from harness.documents.charts.spread import spread_chart
from harness.documents.charts.timeline import timeline_chart

__all__ = ["endurance_chart", "equalise_chart", "share_chart", "spread_chart", "timeline_chart"]
