"""Triangle meshes: what they enclose, where they are open, what a ray meets, what lies nearest."""
