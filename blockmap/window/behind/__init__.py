"""The pane of what is behind the panel: contacts, strips, damage, repairs, parts."""
