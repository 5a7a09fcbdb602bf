"""The voices topic: what buyers want, from votes and comments."""
