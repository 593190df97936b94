"""The main job from end to end in a real browser on a phone's window."""
