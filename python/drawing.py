"""Loops and circles of a DXF drawing, in mm, as a DXF library reads them."""


def told_by_audit(drawing):
    """What the library's audit finds or would mend, in words; empty when nothing."""
    audit = drawing.audit()
    return "; ".join(fault.message for fault in [*audit.errors, *audit.fixes])


def mm_per_unit(drawing):
    return 25.4 if drawing.units == 1 else 1.0


def is_polyline(entity):
    return entity.dxftype() in ("LWPOLYLINE", "POLYLINE")


def is_closed(polyline):
    return polyline.closed if polyline.dxftype() == "LWPOLYLINE" else polyline.is_closed


def corners_of(polyline, to_mm=1.0):
    """Corners of a polyline, each with the bulge of what follows it."""
    if polyline.dxftype() == "LWPOLYLINE":
        return [((x * to_mm, y * to_mm), bulge) for x, y, bulge in polyline.get_points("xyb")]
    places = [(vertex.dxf.location, vertex.dxf.get("bulge", 0)) for vertex in polyline.vertices]
    return [((at.x * to_mm, at.y * to_mm), bulge) for at, bulge in places]


def read(path):
    import ezdxf

    return ezdxf.readfile(path)
