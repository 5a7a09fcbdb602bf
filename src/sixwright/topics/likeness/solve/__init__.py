"""Cameras and places of one person's landmarks, solved together from sightings."""
