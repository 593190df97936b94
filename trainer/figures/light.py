"""Drawings of light and lenses: parts of an eye, gain over distance, covered lenses, neighbors, aim."""

from __future__ import annotations

import math

from trainer.figures.chart import Frame
from trainer.figures.given import Description, Given, Point
from trainer.figures.ink import HEAVY, LINE, THIN
from trainer.figures.paper import WIDTH, Paper
from trainer.figures.shapes import head
from trainer.solver.aperture import edge_shift
from trainer.solver.signal import excess_gain_at


def eye_parts(paper: Paper, n: Given) -> None:
    """Emitter, cone, effective beam and receiver to one scale; the lens enlarged below."""
    left, right, middle = 60.0, 300.0, 150.0
    scale = (right - left) / n["span"]
    spread = min(math.tan(n["half_angle"]) * (right - left), 78.0)
    end = left + spread / math.tan(n["half_angle"])
    paper.area(
        [(left, middle), (end, middle + spread), (end, middle - spread)], "pencil", width=THIN, mark="cone"
    )
    rod = max(n["lens_diameter"] * scale / 2, 1.4)
    paper.box(left, middle - rod, right, middle + rod, ink="beam", width=LINE, fill=True, mark="beam")
    head(paper, (left, middle), 1)
    head(paper, (right, middle), -1)
    paper.write(n.say("emitter", "emisor"), (left - 7, middle + 18))
    paper.label(n.say("receiver", "receptor"), (right + 7, middle), "ns", gap=12, face="words")
    cone = n.say("cone of light ±", "cono de luz ±") + n.said("half_angle")
    paper.write(cone, (left - 20, middle + max(spread, 24) + 16), "left")
    paper.across(left, right, 66, n.said("span"), "n", mark="span")
    paper.circle((60, 28), 16, width=HEAVY)
    paper.across(44, 76, 28, n.say("lens ", "lente ") + n.said("lens_diameter", "in"), "e", mark="lens")
    effective = n.say("effective beam: as thick", "haz efectivo: grueso")
    paper.write(effective, (WIDTH - 6, 36), "right", ink="beam")
    paper.write(n.say("as the lens", "como el lente"), (WIDTH - 6, 19), "right", ink="beam")


def eye_parts_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("Emitter, beam and receiver", "Emisor, haz y receptor"),
        n.say(
            f"An emitter sends a cone of light that opens {n.said('half_angle')} to each side of its "
            "axis. The receiver "
            f"stands {n.said('span')} away. Only the rod of light from lens to lens counts, the "
            "effective beam: it is as "
            f"thick as the lens, {n.said('lens_diameter', 'in')}.",
            f"Un emisor manda un cono de luz que se abre {n.said('half_angle')} a cada lado de su "
            "eje. El receptor está a "
            f"{n.said('span')}. Solo cuenta la barra de luz de lente a lente, el haz efectivo: tiene "
            "el grueso del lente, "
            f"{n.said('lens_diameter', 'in')}.",
        ),
    )


def gain_over_distance(paper: Paper, n: Given) -> None:
    """Excess gain against distance, on decades of gain, with the line where the output switches."""
    most = 1.15 * max(n["distance"], n["reference_distance"])
    nearest = 0.5 * min(n["distance"], n["reference_distance"])

    def gain(distance: float) -> float:
        return float(excess_gain_at(n["reference_gain"], n["reference_distance"], distance))

    floor = min(0.1, 10 ** math.floor(math.log10(gain(most))))
    top = max(100.0, 10 ** math.ceil(math.log10(gain(nearest) * 1.5)))
    frame = Frame(62, 58, 340, 204, most, top, math.log10(floor))
    _decades(paper, n, frame, floor, top)
    frame.draw(paper, n.say("distance between the lenses", "distancia entre los lentes"), _gain_name(n))
    values = [nearest + (most - nearest) * i / 60 for i in range(61)]
    frame.curve(paper, values, gain, mark="curve")
    marked = [("reference_distance", "reference_gain"), ("distance", "gain")]
    for name, told in marked:
        place = frame.at(n[name], gain(n[name]))
        frame.foot(paper, n[name], gain(n[name]), n.said(name), mark=name)
        paper.circle(place, 3.5, fill=True)
        paper.label(n.said(told, "x") if told in n else "?", place, "news", gap=6, bold=True)


def _gain_name(n: Given) -> str:
    return n.say("excess gain (×)", "ganancia de exceso (×)")


def _decades(paper: Paper, n: Given, frame: Frame, floor: float, top: float) -> None:
    first, last = round(math.log10(floor)), round(math.log10(top))
    step = max(1, math.ceil((last - first) / 6))
    for power in range(first, last + 1):
        if (power - first) % step == 0 or power == 0:
            frame.level(paper, 10.0**power, _decade(n, power))
    paper.line([frame.at(0, 1), frame.at(frame.most_x, 1)], "ink", LINE, dash=True, mark="switching")
    feet = [n[name] / frame.most_x for name in ("distance", "reference_distance")]
    free = max((0.18, 0.5, 0.8), key=lambda x: min(abs(x - foot) for foot in feet))
    words = n.say("switches at 1", "cambia en 1")
    paper.label(words, frame.at(frame.most_x * free, 1), "sn", gap=3, face="words")


def _decade(n: Given, power: int) -> str:
    """A power of ten, with its exponent where it would be too long."""
    if abs(power) > 4:
        return "10" + str(power).translate(str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹"))
    return n.write(10.0**power, n.dimensions["reference_gain"])


def gain_over_distance_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("Excess gain over distance", "Ganancia de exceso y distancia"),
        n.say(
            f"The curve falls with the square of the distance. It passes {n.said('reference_gain', 'x')} at "
            f"{n.said('reference_distance')}; a second mark stands at {n.said('distance')}. A dashed "
            "line at 1 shows where "
            "the output switches.",
            f"La curva cae con el cuadrado de la distancia. Pasa por {n.said('reference_gain', 'x')} a "
            f"{n.said('reference_distance')}; otra marca está a {n.said('distance')}. Una línea "
            "punteada en 1 muestra dónde "
            "cambia la salida.",
        ),
    )


def lens_cover(paper: Paper, n: Given) -> None:
    """A lens from the front; what may be covered before the output switches is hatched."""
    center, radius = (104.0, 104.0), 84.0
    paper.circle(center, radius, width=HEAVY, mark="lens")
    _covered(paper, center, radius, _shift_in_radii(n["excess_gain"]))
    covered = n.say("Hatched: may be", "Rayado: se puede")
    y = paper.lines(covered, (204, 150), 150)
    y = paper.lines(n.say("covered", "tapar"), (204, y), 150)
    if "share" in n:
        paper.write(n.said("share", "%"), (204, y - 4), "left", face="numbers", bold=True)
    y = paper.lines(n.say("Open: light that", "Libre: la luz que"), (204, 84), 150)
    paper.lines(n.say("the eye needs", "el ojo necesita"), (204, y), 150)
    gain = f"{n.say('excess gain', 'ganancia de exceso')} {n.said('excess_gain', 'x')}"
    paper.lines(gain, (204, 40), 150)


def _shift_in_radii(excess_gain: float) -> float:
    """Where an edge stands on a lens of radius 1 when the output switches; a gain of 1 bears none."""
    return float(edge_shift(2.0, excess_gain)) if excess_gain > 1 else -1.0


def _covered(paper: Paper, center: Point, radius: float, shift: float) -> None:
    """The part of a round lens that an edge from the left covers."""
    corner = math.acos(max(-1.0, min(1.0, shift)))
    angles = [corner + (2 * math.pi - 2 * corner) * i / 60 for i in range(61)]
    points = [(center[0] + radius * math.cos(a), center[1] + radius * math.sin(a)) for a in angles]
    if shift > -1:
        paper.area(points, "ink", hatch="////", width=LINE, mark="covered")


def lens_cover_words(n: Given) -> Description:
    """The same in words."""
    text = n.say(
        f"A lens from the front. With an excess gain of {n.said('excess_gain', 'x')} the hatched part "
        "may be covered before "
        "the output switches; the open part lets through just the light that the eye needs.",
        f"Un lente visto de frente. Con una ganancia de exceso de {n.said('excess_gain', 'x')} se "
        "puede tapar la parte "
        "rayada antes de que cambie la salida; la parte libre deja pasar justo la luz que la fotocelda necesita.",
    )
    if "share" in n:
        text += n.say(
            f" {n.said('share', '%')} may be covered.", f" Se puede tapar el {n.said('share', '%')}."
        )
    return Description(n.say("How much of a lens may be covered", "Cuánto de un lente se puede tapar"), text)


def edge_and_lens(paper: Paper, n: Given) -> None:
    """An edge coming from the left over a lens, where it stands when the output switches."""
    center, radius = (180.0, 128.0), 70.0
    shift = _shift_in_radii(n["excess_gain"])
    edge = center[0] + shift * radius
    paper.box(24, center[1] - 84, edge, center[1] + 84, ink="pencil", hatch="///", width=LINE, mark="edge")
    paper.circle(center, radius, width=HEAVY, mark="lens")
    paper.line(
        [(center[0], center[1] - 92), (center[0], center[1] + 92)], "beam", THIN, dash=True, mark="axis"
    )
    paper.arrow((40, 226), (110, 226), "ink", LINE)
    paper.write(n.say("car's edge", "borde del carro"), (118, 226), "left")
    paper.across(
        center[0] - radius, center[0] + radius, 30, n.said("lens_diameter", "in"), "s", mark="lens_diameter"
    )
    shift_said = n.said("shift", "in") if "shift" in n else "?"
    paper.across(
        min(center[0], edge), max(center[0], edge), center[1], shift_said, "en", ink="ink", mark="shift"
    )
    paper.write(n.say("lens", "lente"), (238, 188), "left")
    gain = n.say("excess gain ", "ganancia de exceso ") + n.said("excess_gain", "x")
    paper.write(gain, (WIDTH / 2, 4))


def edge_and_lens_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("Where an edge switches the eye", "Dónde un borde hace cambiar la fotocelda"),
        n.say(
            f"A straight edge moves over a lens {n.said('lens_diameter', 'in')} wide. It is drawn "
            "where the output switches "
            f"with an excess gain of {n.said('excess_gain', 'x')}; its distance from the lens's "
            "middle is marked. The "
            "stronger the light, the farther the edge must come.",
            f"Un borde recto pasa sobre un lente de {n.said('lens_diameter', 'in')}. Se dibuja donde "
            "cambia la salida con "
            f"una ganancia de exceso de {n.said('excess_gain', 'x')}; se marca su distancia al centro "
            "del lente. Mientras "
            "más fuerte la luz, más tiene que avanzar el borde.",
        ),
    )


def crosstalk_pairs(paper: Paper, n: Given) -> None:
    """Two pairs from above with the cone of the first emitter, tilted when a tilt is given."""
    spread = n["spacing"] + 2 * n["distance"] * math.tan(n["half_angle"])
    scale = min(228 / n["distance"], 130 / max(n["spacing"], 1e-6), 190 / spread * 2)
    left, low = 66.0, 70.0
    right, high = left + n["distance"] * scale, low + n["spacing"] * scale
    aim = n.numbers.get("tilt", 0.0)
    for side in (-1, 1):
        angle = min(max(aim + side * n["half_angle"], -1.5), 1.5)
        end = _until(paper, (left, low), angle, right)
        paper.line([(left, low), end], "pencil", THIN, dash=True)
    paper.line([(left, low), _until(paper, (left, low), aim, right)], "beam", HEAVY, mark="axis")
    paper.line([(left, high), (right, high)], "beam", LINE, dash=True)
    for y, number in ((low, "1"), (high, "2")):
        head(paper, (left, y), 1)
        head(paper, (right, y), -1)
        paper.write(f"E{number}", (left - 26, y + (10 if number == "2" else -10)), face="numbers", bold=True)
        paper.write(f"R{number}", (right + 26, y + (10 if number == "2" else -10)), face="numbers", bold=True)
    paper.upright(low, high, 18, n.said("spacing", "in"), "enws", mark="spacing")
    paper.across(left, right, 34, n.said("distance"), "s", mark="distance")
    top = max(high, low + (right - left) * math.tan(aim + n["half_angle"]))
    cone = f"{n.say('cone', 'cono')} ±{n.said('half_angle')}"
    tilt = f" · {n.say('tilt', 'inclinación')} {n.said('tilt')}" if "tilt" in n else ""
    paper.write(cone + tilt, (WIDTH / 2, max(top, high + 10) + 26))


def _until(paper: Paper, start: Point, angle: float, right: float) -> Point:
    """Where a ray from a point leaves the drawing, at the receivers or at its top or foot."""
    x, y = right - start[0], (right - start[0]) * math.tan(angle)
    room = (paper.height - 28 - start[1]) if y > 0 else (start[1] - 44)
    share = min(1.0, room / abs(y)) if y else 1.0
    return start[0] + x * share, start[1] + y * share


def crosstalk_pairs_words(n: Given) -> Description:
    """The same in words."""
    text = n.say(
        f"Seen from above: two pairs {n.said('spacing', 'in')} apart, each {n.said('distance')} from "
        "emitter to receiver. "
        f"Emitter 1 sends a cone of {n.said('half_angle')} to each side; where it reaches receiver 2, "
        "that one sees a light "
        "that is not its own.",
        f"Visto desde arriba: dos pares separados {n.said('spacing', 'in')}, cada uno con "
        f"{n.said('distance')} de emisor a "
        f"receptor. El emisor 1 manda un cono de {n.said('half_angle')} a cada lado; si llega al "
        "receptor 2, ese ve una luz "
        "que no es la suya.",
    )
    if "tilt" in n:
        text += n.say(
            f" Emitter 1 is turned by {n.said('tilt')}.", f" El emisor 1 está girado {n.said('tilt')}."
        )
    return Description(n.say("Two pairs side by side", "Dos pares lado a lado"), text)


def string_aim(paper: Paper, n: Given) -> None:
    """A string from eye to eye and an axis that misses by an offset, enlarged sideways when it must be."""
    left, right, base = 46.0, 300.0, 96.0
    true = n["offset"] * (right - left) / n["distance"]
    times = next((one for one in (1, 2, 5, 10, 20, 50, 100, 200, 500) if abs(true) * one >= 24), 500)
    miss = max(min(true * times, 62.0), -40.0)
    head(paper, (left, base), 1)
    head(paper, (right, base), -1)
    paper.line([(left, base), (right, base)], "ink", THIN, mark="string")
    paper.line([(left, base), (right, base + miss)], "beam", HEAVY, mark="axis")
    paper.label(n.say("string", "hilo"), ((left + right) / 2, base), "sn", gap=5, face="words")
    paper.upright(
        min(base, base + miss),
        max(base, base + miss),
        right + 22,
        n.said("offset", "in"),
        "nsew",
        mark="offset",
    )
    paper.label(
        n.said("angle") if "angle" in n else "?", (left + 50, base + miss * 0.1), "n", gap=10, bold=True
    )
    paper.across(left, right, 52, n.said("distance"), "s", mark="distance")
    if times > 1:
        note = n.say(f"offset drawn {times} times larger", f"desvío dibujado {times} veces más grande")
        paper.write(note, (WIDTH / 2, 16), ink="pencil")


def string_aim_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("Aiming with a string", "Apuntar con un hilo"),
        n.say(
            f"A string is pulled from emitter to receiver, {n.said('distance')} apart. The head's "
            "axis misses the receiver by "
            f"{n.said('offset', 'in')}; the angle between string and axis is marked.",
            f"Un hilo va tenso del emisor al receptor, a {n.said('distance')}. El eje del cabezal pasa a "
            f"{n.said('offset', 'in')} del receptor; se marca el ángulo entre hilo y eje.",
        ),
    )


def spot(paper: Paper, n: Given) -> None:
    """The cone of an emitter and how wide it is at a distance."""
    slope = math.tan(n["half_angle"])
    scale = min(232 / n["distance"], 130 / (2 * n["distance"] * slope))
    left, middle = 52.0, 136.0
    right, half = left + n["distance"] * scale, n["distance"] * slope * scale
    paper.area(
        [(left, middle), (right, middle + half), (right, middle - half)], "beam", width=LINE, mark="cone"
    )
    paper.line([(left, middle), (right, middle)], "beam", THIN, dash=True)
    head(paper, (left, middle), 1)
    width = n.said("width", "in") if "width" in n else "?"
    paper.upright(middle - half, middle + half, right + 14, width, "enw", ink="ink", mark="spot")
    paper.across(left, right, middle - half - 26, n.said("distance"), "s", mark="distance")
    paper.write(
        f"{n.say('half-angle', 'medio ángulo')} {n.said('half_angle')}",
        (left - 12, middle + half + 20),
        "left",
    )


def spot_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("The spot of light at a distance", "La mancha de luz a una distancia"),
        n.say(
            f"An emitter's cone opens {n.said('half_angle')} to each side. Its width is marked "
            f"{n.said('distance')} away.",
            f"El cono de un emisor se abre {n.said('half_angle')} a cada lado. Se marca su ancho a "
            f"{n.said('distance')}.",
        ),
    )
