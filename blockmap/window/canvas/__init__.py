"""The figure of one block: shown at full speed, and drawn on with tools.

figure_view.py is the widget; frame.py is where it looks; batches.py and pictures.py
turn primitives into few large drawing calls; overlay.py draws what lies on top of the
figure; tools/ has one class for each gesture. Nothing here changes a map except
through the session.
"""
