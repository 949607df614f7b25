"""What all pictures share: the colours of metals, light from the upper left, soft shadows."""

from sideshake.demo.drawn.ink import HEIGHT, WIDTH, Point, ellipse, glow, sheen

METALS = {
    "steel": ("#f4f5f4", "#c4c8ca", "#8d9397", "#e3e6e6", "#a9afb2", "#70767b"),
    "nickel": ("#efeee8", "#c8c6bb", "#95938a", "#e0ded4", "#aba99e", "#77756d"),
    "silver": ("#fbfaf6", "#d5d3cc", "#a3a19b", "#edebe4", "#b9b7b0", "#85837d"),
    "gold": ("#fbeec2", "#dfbb6c", "#a67c33", "#f0d591", "#c59b4e", "#835f24"),
    "rose": ("#fbe0cf", "#dea383", "#a66f52", "#efc4a9", "#c48a6c", "#80513a"),
    "brass": ("#f3e3b0", "#d8bb73", "#ab8a45", "#e7d197", "#c3a25b", "#86692f"),
    "blued": ("#7f9bd8", "#33509a", "#182b61", "#5573bb", "#243c80", "#101d45"),
}


def definitions() -> str:
    """Return the gradients that every picture may use."""
    metals = "".join(
        sheen(name, colours) + sheen(f"{name}-back", colours[::-1], turn_deg=20)
        for name, colours in METALS.items()
    )
    return metals + "".join(
        (
            glow("shadow", ((0, "#1c150c", 0.62), (0.72, "#1c150c", 0.5), (0.86, "#1c150c", 0.2), (1, "#1c150c", 0))),
            glow("soft", ((0, "#1c150c", 0.55), (0.6, "#1c150c", 0.25), (1, "#1c150c", 0))),
            glow("stain", ((0, "#6b4516", 0.75), (0.6, "#7a5424", 0.4), (1, "#7a5424", 0))),
            glow("rim", ((0, "#5d3d12", 0), (0.8, "#5d3d12", 0), (0.93, "#5d3d12", 0.2), (1, "#4b300c", 0.55))),
            glow("ruby", ((0, "#ff9db0", 1), (0.45, "#d3204a", 1), (1, "#6d0a22", 1)), (0.42, 0.38)),
            glow("dome", ((0, "#ffffff", 0), (0.86, "#ffffff", 0.02), (0.95, "#ffffff", 0.22), (1, "#ffffff", 0.05))),
            '<linearGradient id="gleam" x1="0" y1="0" x2="0.7" y2="1"><stop offset="0" '
            'stop-color="#fff" stop-opacity="0.55"/><stop offset="0.5" stop-color="#fff" '
            'stop-opacity="0.10"/><stop offset="1" stop-color="#fff" stop-opacity="0"/>'
            "</linearGradient>",
        )
    )  # fmt: skip


def shadow_under(centre: Point, radius: float, *, flat: float = 1.0) -> str:
    """Return the soft shadow of a round thing lying on the mat."""
    low = (centre[0] + 0.08 * radius, centre[1] + 0.12 * radius)
    return ellipse(low, (1.2 * radius, 1.2 * radius * flat), "url(#shadow)")


def picture(body: str) -> str:
    """Return the whole SVG of what lies on the mat; the mat is put under it afterwards."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{HEIGHT}" '
        f'viewBox="0 0 {WIDTH} {HEIGHT}"><defs>{definitions()}</defs>{body}</svg>'
    )
