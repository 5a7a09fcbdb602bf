"""Pictures as SVG: ink on paper, one highlighted tone, every axis with its unit."""

from sixwright.kernel.pictures import Chart, Drawing, Picture
from sixwright.reports.leaving import markup
from sixwright.reports.svg.chart import chart
from sixwright.reports.svg.drawing import drawing
from sixwright.reports.svg.elements import QUIET, TEXT_PX, px


def svg(picture: Picture, *, name: str, locale: str) -> str:
    """One picture as an SVG element with its title and its content in words.

    Parameters
    ----------
    picture
        A chart or a drawing.
    name
        Unique in the page; it makes the ids that tie title and description to the picture.
    locale
        How the numbers at the axes are written.
    """
    match picture:
        case Chart():
            width, height, body = chart(picture, locale)
        case Drawing():
            width, height, body = drawing(picture, locale)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="picture" role="img" '
        f'viewBox="0 0 {px(width)} {px(height)}" aria-labelledby="{name}-t {name}-d" '
        f'font-family="Source Sans 3, sans-serif" font-size="{TEXT_PX}" fill="{QUIET}">'
        f'<title id="{name}-t">{markup(picture.title)}</title>'
        f'<desc id="{name}-d">{markup(picture.summary)}</desc>{"".join(body)}</svg>'
    )
