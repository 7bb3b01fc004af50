"""The tools of the figure: one class for each gesture, each with a way to call it off.

A tool previews on the figure and leaves the map alone until the gesture ends; then it
makes one edit. Escape brings back what was there before. Every drag has a way by
click, key or typed number as well.
"""
