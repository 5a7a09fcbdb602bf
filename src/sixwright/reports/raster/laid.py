"""A mesh from the front and from its left, to see which way it lies and how large it is."""

from sixwright.numerics.mesh.model import Mesh
from sixwright.numerics.mesh.views import model_of, view
from sixwright.reports.raster.panel import beside, encoded, ground, scale_bar, title, with_marks
from sixwright.reports.raster.panel import with_mesh as laid_on
from sixwright.reports.raster.shots import window_of
from sixwright.reports.raster.views_of import looking

PANEL = (360, 412)
SIDES = ((0.0, "Front"), (90.0, "From its left"))
FOCAL_PX = 1000.0
FAR = 40.0  # of its own size is the camera away: near enough to none of perspective


def laid(mesh: Mesh) -> bytes:
    """Front and left side as JPEG, each with a scale bar.

    Parameters
    ----------
    mesh
        Millimetres, in the sculpt frame.

    Raises
    ------
    InputError
        If it has no face.
    """
    model = model_of(mesh)
    size = float((mesh.vertices.max(axis=0) - mesh.vertices.min(axis=0)).max())
    panels = []
    for yaw, words in SIDES:
        lens = looking(model, yaw, 0.0, FAR * size, FOCAL_PX)
        window = window_of(model, lens, PANEL)
        picture = laid_on(ground(*PANEL), view(model, lens, window), alpha=1.0)
        pixels = lens.pixels_a_unit(model.middle)[0] / window.step
        panels.append(with_marks(picture, (title(words), *scale_bar(*PANEL, pixels))))
    return encoded(beside([panels]))
