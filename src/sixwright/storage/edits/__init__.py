"""Changes as the bytes of the files that they touch, and writing them."""
