"""Pictures made of points: sculpts through lenses."""
