"""One static page that uses every class of the stylesheet; the case in it is invented."""

from __future__ import annotations

import io
from pathlib import Path

from PIL import Image, ImageDraw

import asfound
from asfound.figures import figure
from asfound.figures.photo import Derivative, thumbnail
from asfound.pages.assets import shipped

from .examples import deviations, leakage, monitor, output
from .plots import chart, dose, hazard

ASSETS = Path(asfound.__file__).parent / "pages" / "assets"


def body() -> str:
    """The inside of the page, as a template would write it."""
    charts = {f.__name__: figure(f(), lambda ref: f"#{ref}") for f in (output, deviations, leakage, monitor)}
    return f"""<div class="af">
<div class="af-state"><span>Case 2026-014</span><span><b>Draft</b> after edition 1 of 2026-03-19</span>
<span>core 3f9c 81d0 … 7ab2</span><span>Written 2026-03-24 16:40 −05:00 (Tue)</span></div>
<h1>Thigh lesion under a return pad</h1>
<p class="af-lede">A patient left the room with a lesion where the dispersive pad had been. One generator, its foot
switch, cables and the pad were impounded the same afternoon.</p>
<section class="af-who" aria-label="First answers">
<div><h2>For whoever manages the risk</h2><p>Others at risk: <b>not known</b> to be; the same lot of pads is
on hold.</p>
<p>Evidence is sealed, with one accounted gap.</p></div>
<div><h2>For counsel and experts</h2><p>The examiner neither maintains nor sells this equipment.</p>
<p><a href="#x">One exception</a> and <a href="#y">two warnings</a> stand on this page.</p></div>
<div><h2>For the maker and the regulator</h2><p>Generator, software 4.2, high-current coagulation, 90 W,
single-plate pad,
lot recorded.</p><p>Reproduced on the subject: 0 faults in 31 activations.</p></div></section>
<h2>What the evidence supports</h2>
<div class="af-row"><p class="af-claim">Overheating at a partly detached single-plate pad during one long
activation is the
<em>probable</em> mechanism. Why the pad lifted is undetermined.</p>
<aside class="af-note"><span>Strongest level earned: probable.</span><span>Weakest link: <a
href="#I-4">I-4</a> used pad,
40 min before custody.</span><span>Would raise it: a picture of the pad on the patient.</span>
<span>Would lower it: taking away <a href="#E-11">E-11</a>, the gel print.</span></aside></div>
<h2>What carries it</h2>
<div class="af-row"><p>The longest run of activations put 126 A²s through the pad in two minutes; pads of this kind are
designed for about 30.</p><aside class="af-note"><span><a href="#R-log-7">R-log-7</a> 95 s on in 120 s</span>
<span><a href="#R-current-2">R-current-2</a> 1.15 A ± 0.04 A</span>
<span>limit: common practice, no in-service standard</span></aside></div>
<div class="af-row"><p>Only 38 % of the pad’s gel had touched skin.</p><aside class="af-note">
<span><a href="#E-11">E-11</a> gel print, 46 cm² ± 4 cm² of 120 cm²</span></aside></div>
<div class="af-row"><p>The generator delivered what it was set to on port 1. This speaks only to the
generator, not to the
pad. Leakage through 1 kΩ was <span class="af-out">512 µA, fail</span>.</p><aside class="af-note">
<span><a href="#R-output-3">R-output-3</a> 88.4 W ± 3.8 W at 90 W, pass</span></aside></div>
{charts["output"]}{charts["deviations"]}
<h2>Leakage</h2>{charts["leakage"]}
<h2>Contact monitor</h2>{charts["monitor"]}
<h2>Worked out</h2>{"".join(figure(chart(make), lambda ref: f"#{ref}") for make in (dose, hazard))}
<h2>What stays open</h2>
<div class="af-row"><div class="af-warns">The used pad lay in the room’s bin for 40 minutes before it was
bagged. The account
is signed and photographed; it caps the conclusion at <em>probable</em>.</div><aside class="af-note"><span>rule
<a href="#custody-gap">custody-gap</a>, <a href="#C-3">C-3</a></span></aside></div>
<div class="af-caution"><p>A pass is not an exoneration. Local codes and licensed practice come first.</p></div>
<h2>Covered, and not</h2>
<div class="af-scroll" tabindex="0" role="region" aria-label="Output power: which combinations were measured">
<table class="af-table"><caption>Output power: which combinations were measured</caption>
<thead><tr><th scope="col">Port and key</th><th scope="col">20 W</th><th scope="col">45 W</th>
<th scope="col">90 W, as used</th><th scope="col">120 W</th></tr></thead><tbody>
<tr><th scope="row">1, hand key</th><td>19.1 W</td><td>43.6 W</td><td>88.4 W</td><td>116.9 W</td></tr>
<tr><th scope="row">1, foot switch</th><td>19.0 W</td><td class="af-gap">not measured</td><td>88.1
W</td><td>116.2 W</td></tr>
<tr><th scope="row">2, hand key</th><td>18.8 W</td><td class="af-out">30.1 W, fail</td><td>87.6
W</td><td>116.0 W</td></tr>
</tbody></table></div>
<h2>Pictures</h2>
<div class="af-evidence">
<figure id="E-11"><img src="pad.jpg" alt="Print of the gel on graph paper" width="480" height="360">
<figcaption><a href="#E-11">E-11</a> Gel print on graph paper, 2026-03-09 15:12 −05:00</figcaption></figure>
<figure><img src="pad.jpg" alt="The pad as found" width="480" height="360">
<figcaption>E-12 The pad as found, edge lifted on the left</figcaption></figure>
<figure><img src="pad.jpg" alt="Cable and plug" width="480" height="360"><figcaption>E-13 Cable and
plug</figcaption></figure>
</div></div>"""


def picture() -> bytes:
    """A drawn stand-in for a photograph."""
    image = Image.linear_gradient("L").resize((640, 480)).convert("RGB")
    ImageDraw.Draw(image).ellipse((180, 120, 460, 380), fill=(196, 150, 130), outline=(90, 50, 40), width=6)
    out = io.BytesIO()
    image.save(out, "JPEG", quality=90)
    return out.getvalue()


def write(folder: Path, *, library: bool = True, attributes: str = "", theme: str = "") -> Path:
    """Write page and assets into ``folder``; without ``library`` the chart library is missing."""
    for name, data in shipped():
        (folder / "assets" / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / "assets" / name).write_bytes(data)
    if not library:
        (folder / "assets" / "plotly-basic.min.js").unlink()
    made = thumbnail(picture())
    assert isinstance(made, Derivative)
    (folder / "pad.jpg").write_bytes(made.data)
    page = folder / "page.html"
    page.write_text(
        f'<!doctype html><html lang="en"{theme}><meta charset="utf-8"><meta name="viewport" '
        'content="width=device-width,initial-scale=1"><title>Thigh lesion under a return pad</title>'
        f'<link rel="stylesheet" href="assets/asfound.css"><body{attributes} style="margin:0">'
        f'<div style="padding:0 20px">{body()}</div><script src="assets/asfound.js"></script></body></html>',
        encoding="utf-8",
    )
    return page
