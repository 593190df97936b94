"""The invented wash and its people, made through the acts themselves."""
