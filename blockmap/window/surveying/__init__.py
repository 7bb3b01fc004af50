"""The pane in which a survey is filled key by key, and what follows from it."""
