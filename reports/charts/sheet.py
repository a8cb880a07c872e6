"""The paper every drawing is made on: one family of lines, labels and dimensions, written as SVG in millimeters.

Line widths by the look of the book: objects 0.35 mm, dimensions 0.18 mm with short oblique ticks, hatching for section.
Colors are attributes so that a PDF shows them; classes let a page in the dark restyle them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import atan2, cos, hypot, pi, sin

from markupsafe import Markup, escape

from reports import typography

INK, GRAY, PALE, ACCENT = "#1c1f24", "#6d6f73", "#dcd9d2", "#8f3b24"
OBJECT_LINE, DIMENSION_LINE = 0.35, 0.18
LABEL_SIZE, SMALL_SIZE = 2.7, 2.35
FONT = "'Source Sans 3', sans-serif"
#: Mean advance of the label face as a share of its size, for placing labels clear of each other.
ADVANCE = 0.5
TICK = 0.9

Point = tuple[float, float]
_STYLES = {
    "object": f'fill="none" stroke="{INK}" stroke-width="{OBJECT_LINE}" class="ink"',
    "solid": f'fill="{INK}" stroke="none" class="ink-fill"',
    "accent": f'fill="none" stroke="{ACCENT}" stroke-width="0.5" class="accent"',
    "accent-solid": f'fill="{ACCENT}" stroke="none" class="accent-fill"',
    "thin": f'fill="none" stroke="{INK}" stroke-width="{DIMENSION_LINE}" class="ink"',
    "gray": f'fill="none" stroke="{GRAY}" stroke-width="{DIMENSION_LINE}" class="gray"',
    "center": f'fill="none" stroke="{GRAY}" stroke-width="{DIMENSION_LINE}" stroke-dasharray="3 0.8 0.6 0.8" class="gray"',
    "dashed": f'fill="none" stroke="{GRAY}" stroke-width="0.3" stroke-dasharray="1.4 0.9" class="gray"',
    "dashed-ink": f'fill="none" stroke="{INK}" stroke-width="{OBJECT_LINE}" stroke-dasharray="1.6 1" class="ink"',
    "band": f'fill="{PALE}" stroke="none" class="band"',
    "blank": 'fill="#fcfbf8" stroke="none" class="paper"',
    "paper": f'fill="#fcfbf8" stroke="{INK}" stroke-width="{OBJECT_LINE}" class="paper ink"',
}


def mm(value: float) -> str:
    """A coordinate, to a thousandth of a millimeter."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def text_width(text: str, size: float = LABEL_SIZE) -> float:
    """Approximate width of a label in mm."""
    return len(text) * size * ADVANCE


class Sheet:
    """A drawing in the making; x to the right, y down, all in millimeters of paper."""

    def __init__(self, width: float, height: float):
        self.width, self.height = width, height
        self._parts: list[str] = []

    def line(self, start: Point, end: Point, style: str = "object", data: str = "") -> None:
        """A straight line; `data` names what it measures, for whoever reads the drawing by machine."""
        name = _name(data)
        self._parts.append(f'<line x1="{mm(start[0])}" y1="{mm(start[1])}" x2="{mm(end[0])}" y2="{mm(end[1])}"'
                           f"{name} {_STYLES[style]}/>")

    def rect(self, corner: Point, width: float, height: float, style: str = "object", data: str = "") -> None:
        """A rectangle from its top left corner; negative sizes are turned round."""
        x, y = min(corner[0], corner[0] + width), min(corner[1], corner[1] + height)
        name = _name(data)
        self._parts.append(f'<rect x="{mm(x)}" y="{mm(y)}" width="{mm(abs(width))}" height="{mm(abs(height))}"'
                           f"{name} {_STYLES[style]}/>")

    def circle(self, center: Point, radius: float, style: str = "object") -> None:
        """A circle."""
        self._parts.append(f'<circle cx="{mm(center[0])}" cy="{mm(center[1])}" r="{mm(radius)}" {_STYLES[style]}/>')

    def path(self, points: Iterable[Point], style: str = "object", close: bool = False) -> None:
        """A polyline through the points, closed if asked."""
        steps = " ".join(f"{'M' if index == 0 else 'L'}{mm(x)} {mm(y)}" for index, (x, y) in enumerate(points))
        self._parts.append(f'<path d="{steps}{" Z" if close else ""}" stroke-linejoin="round" {_STYLES[style]}/>')

    def text(self, at: Point, text: str, anchor: str = "start", size: float = LABEL_SIZE, tone: str = "ink",
             bold: bool = False) -> None:
        """A label; `tone` is ink, gray, accent or paper."""
        color = {"ink": INK, "gray": GRAY, "accent": ACCENT, "paper": "#fcfbf8"}[tone]
        weight = ' font-weight="600"' if bold else ""
        self._parts.append(f'<text x="{mm(at[0])}" y="{mm(at[1])}" font-family="{FONT}" font-size="{mm(size)}"'
                           f' text-anchor="{anchor}" fill="{color}" class="{tone}-fill"{weight}>'
                           f"{escape(typography.plain(text))}</text>")

    def label(self, at: Point, text: str, anchor: str = "start", size: float = LABEL_SIZE, tone: str = "ink", bold: bool = False) -> None:
        """A label on blank paper, for places that lines run through."""
        wide = text_width(typography.plain(text), size) * (1.06 if bold else 1.0)
        left = {"start": at[0], "middle": at[0] - wide / 2, "end": at[0] - wide}[anchor]
        self.rect((left - 0.3, at[1] - 0.8 * size), wide + 0.6, size, "blank")
        self.text(at, text, anchor, size, tone, bold)

    def hatch(self, corner: Point, width: float, height: float, spacing: float = 1.1) -> None:
        """Section hatching: lines rising to the right, cut to the rectangle."""
        x0, y0 = corner
        offset = spacing
        while offset < width + height:
            start = (x0 + max(0.0, offset - height), y0 + min(offset, height))
            end = (x0 + min(offset, width), y0 + max(0.0, offset - width))
            self.line(start, end, "gray")
            offset += spacing

    def dimension(self, start: Point, end: Point, label: str, offset: float = 0.0, tone: str = "ink",
                  data: str = "") -> None:
        """A dimension line with oblique ticks and its label; `offset` shifts it to the left of its direction."""
        span = hypot(end[0] - start[0], end[1] - start[1])
        if span == 0:
            return
        across = ((end[1] - start[1]) / span * offset, -(end[0] - start[0]) / span * offset)
        first, last = _moved(start, across), _moved(end, across)
        style = "thin" if tone != "accent" else "accent"
        if offset:
            self.line(start, first, "gray")
            self.line(end, last, "gray")
        self.line(first, last, style, data)
        direction = atan2(end[1] - start[1], end[0] - start[0]) - pi / 4
        for point in (first, last):
            step = (TICK * cos(direction), TICK * sin(direction))
            self.line((point[0] - step[0], point[1] - step[1]), _moved(point, step), "object")
        self._dimension_label(first, last, label, tone)

    def _dimension_label(self, first: Point, last: Point, label: str, tone: str) -> None:
        middle = ((first[0] + last[0]) / 2, (first[1] + last[1]) / 2)
        if abs(last[1] - first[1]) > abs(last[0] - first[0]):
            self.text((middle[0] + 1.2, middle[1] + 0.9), label, tone=tone)
        else:
            self.text((middle[0], middle[1] - 0.9), label, "middle", tone=tone)

    def scale_bar(self, at: Point, scale: float, system: str) -> None:
        """A bar of a round length with its scale; `scale` is paper millimeters per meter."""
        unit, name = (0.0254, "in") if system != "metric" else (0.01, "cm")
        count = next(n for n in (1, 2, 5, 10, 20, 50, 100, 200) if n * unit * scale >= 12 or n == 200)
        width = count * unit * scale
        self.rect((at[0], at[1] - 0.9), width / 2, 0.9, "solid")
        self.rect((at[0], at[1] - 0.9), width, 0.9, "thin", data="scale bar")
        self.text((at[0] + width + 1.2, at[1]), f"{count} {name}, scale {_ratio(scale / 1000)}", size=SMALL_SIZE, tone="gray")

    def finish(self, title: str, description: str, key: str) -> Markup:
        """The SVG with its title and description, which carry the same facts in words; `key` makes its ids unique."""
        head = (f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {mm(self.width)} {mm(self.height)}"'
                f' width="{mm(self.width)}mm" height="{mm(self.height)}mm" role="img"'
                f' aria-labelledby="{key}-title {key}-desc" class="drawing">')
        words = (f'<title id="{key}-title">{escape(typography.plain(title))}</title>'
                 f'<desc id="{key}-desc">{escape(typography.plain(description))}</desc>')
        return Markup(head + words + "".join(self._parts) + "</svg>")  # noqa: S704 (every text in it is escaped where it is added)


def _name(data: str) -> str:
    return f' data-name="{escape(typography.clean(data))}"' if data else ""


def _moved(point: Point, step: Point) -> Point:
    return point[0] + step[0], point[1] + step[1]


def _ratio(enlarged: float) -> str:
    """`1:5.2` for a drawing smaller than the thing, `2:1` for a larger one."""
    value = max(enlarged, 1 / enlarged)
    text = f"{value:.1f}".rstrip("0").rstrip(".") if value < 10 else f"{value:.0f}"
    return f"1:{text}" if enlarged <= 1 else f"{text}:1"


def spread(positions: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Label positions moved apart to at least `gap`, kept within low and high where there is room; order kept."""
    order = sorted(range(len(positions)), key=lambda index: positions[index])
    placed: list[float] = []
    for index in order:
        placed.append(max(positions[index], placed[-1] + gap if placed else low))
    overflow = placed[-1] - high if placed else 0.0
    for place in range(len(placed) - 1, -1, -1):
        ceiling = high if place == len(placed) - 1 else placed[place + 1] - gap
        if overflow > 0:
            placed[place] = min(placed[place], ceiling)
    out = [0.0] * len(positions)
    for index, position in zip(order, placed, strict=True):
        out[index] = position
    return out
