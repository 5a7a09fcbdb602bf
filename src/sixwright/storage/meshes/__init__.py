"""Meshes as sculptors deliver them: STL, OBJ, PLY, GLB and 3MF, read or refused in a sentence."""
