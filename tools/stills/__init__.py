"""The demo's stills: photographs of a hidden true head, and what was marked on them.

    cameras   where each still was taken from, and what became of its picture
    subject   the person himself, what he wears and his coat, as meshes
    colours   what colour each place of him is
    light     how light falls on him
    raster    triangles to pixels
    scene     all that stands before the camera of a still
    film      from light to a JPEG file
    rims      the outlines that a still shows, as lines in space
    marking   landmarks and outlines as people mark them, some wrong
    placing   the landmarks of the sculpts, as somebody placed them on the meshes
    tables    the line's tables, and the truth beside them

The heads come from `heads`. Camera, picture and errors are made here and share nothing with
sixwright, which has to find them again.
"""
