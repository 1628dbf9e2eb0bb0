"""How the booklet looks on a screen and on paper, A4 and Letter alike."""

from __future__ import annotations

from halfbat.drawings.styles import css

_PAGE = """
:root{color-scheme:light}
*{box-sizing:border-box}
html{font:10.5pt/1.45 Georgia,"Times New Roman",serif;color:#111;background:#fff}
body{max-width:180mm;margin:8mm auto;padding:0 2mm}
h1,h2,h3,th,caption,figcaption,nav,.number,.sizes{font-family:Helvetica,Arial,sans-serif}
h1{font-size:26pt;line-height:1.1;margin:0 0 2mm}
h2{font-size:16pt;line-height:1.2;margin:12mm 0 3mm;padding-bottom:1mm;border-bottom:.5mm solid #111}
h3{font-size:12pt;margin:6mm 0 1.5mm}
p{margin:0 0 2.5mm}
ul,ol{margin:0 0 3mm;padding-left:6mm}
li{margin-bottom:1mm}
a{color:#111}
.lead{font-size:12pt}
.small,figcaption,td small{font-size:9pt;color:#333}
.number{font-weight:bold;white-space:nowrap}
nav ol{columns:2;column-gap:10mm;padding-left:5mm}
table{border-collapse:collapse;width:100%;margin:0 0 4mm;font-size:9.5pt}
caption{text-align:left;font-size:9pt;color:#333;padding-bottom:1mm}
th,td{text-align:left;vertical-align:middle;padding:1mm 1.5mm;border-bottom:.2mm solid #777}
thead th{border-bottom:.4mm solid #111;vertical-align:bottom;font-size:9pt}
tbody th{font-weight:normal}
tbody th .number,tbody th.number{font-size:11pt}
td.count{text-align:right;font-family:Helvetica,Arial,sans-serif;font-weight:bold}
td.picture{width:37mm;text-align:center;padding:1mm}
td.what{min-width:40mm}
tr{break-inside:avoid}
thead{display:table-header-group}
figure{margin:3mm 0 6mm;break-inside:avoid}
figure.sheet{text-align:center}
figcaption{margin-top:1.5mm}
figure.true{text-align:left}
svg.hb-drawing{display:inline-block;vertical-align:middle}
.hb-shared{position:absolute}
img{max-width:100%;height:auto}
.cover figure{text-align:center;margin:8mm 0}
.sizes{width:auto}
.step{display:grid;grid-template-columns:minmax(0,1fr) 74mm;gap:0 5mm;break-inside:avoid;
border-top:.2mm solid #777;padding:3mm 0}
.step h3{margin-top:0}
.step.bare{grid-template-columns:1fr}
.step figure{margin:0;text-align:center}
.uses{list-style:none;padding:0;margin:0 0 2mm}
.uses li{display:inline-block;border:.3mm solid #111;border-radius:1mm;padding:.4mm 2mm;margin:0 1mm 1mm 0;
font:bold 9.5pt Helvetica,Arial,sans-serif}
.finding{border-left:1mm solid #777;padding-left:3mm;margin-bottom:2mm}
.finding.failure{border-left:2mm solid #111}
.true{margin:4mm 0}
.pair{display:grid;grid-template-columns:1fr 1fr;gap:0 8mm;align-items:start}
.pair td,.pair th,table.fits td,table.fits th{padding:.5mm 1mm}
td.size{white-space:nowrap}
dt{font-weight:bold;font-family:Helvetica,Arial,sans-serif;font-size:10pt}
dd{margin:0 0 2mm}
@media (max-width:190mm){body{margin:4mm}.step{grid-template-columns:1fr}svg.hb-drawing{max-width:100%;height:auto}
table,.pair{display:block;overflow-x:auto}}
@media (max-width:130mm){.pair{grid-template-columns:1fr}nav ol{columns:1}
table.parts,table.parts tbody{display:block}table.parts caption{display:block}
table.parts thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
table.parts tr{display:grid;grid-template-columns:14mm 38mm minmax(0,1fr);align-items:center;
border-bottom:.2mm solid #777;padding:1mm 0}
table.parts th,table.parts td{border:0;min-width:0}
table.parts td[data-label]{grid-column:1/-1;text-align:left;padding:.3mm 1.5mm}
table.parts td[data-label]::before{content:attr(data-label) ": ";color:#333;font:9pt Helvetica,Arial,sans-serif}
table.parts td.process br{display:none}}
@page{margin:14mm 15mm 16mm}
@page{@bottom-center{content:counter(page) " / " counter(pages);font:9pt Helvetica,Arial,sans-serif;color:#333}}
@media print{
html{font-size:10pt}
body{max-width:none;margin:0;padding:0}
svg.hb-drawing{max-width:none}
h2{break-before:page;margin-top:0}
nav h2{break-before:auto;margin-top:8mm}
nav,.keep{break-inside:avoid}
section.follows h2{break-before:auto;margin-top:9mm}
h2,h3,caption{break-after:avoid}
p,li{orphans:3;widows:3}
.step{grid-template-columns:minmax(0,1fr) 74mm}
a{text-decoration:none}
table.parts{font-size:8.5pt}
table.parts thead th{font-size:8pt}
table.parts td.what{min-width:26mm;overflow-wrap:anywhere}
table.parts td.size{white-space:normal}
.pair table,table.fits{font-size:8.5pt;margin-bottom:2mm}
.pair td,.pair th,table.fits td,table.fits th{padding:.3mm 1mm}
}
"""


def stylesheet() -> str:
    """Return the whole style sheet of the booklet, drawings included."""
    return _PAGE.strip() + "\n" + css() + "\n"
