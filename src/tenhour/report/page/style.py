"""The page's style sheet: light and dark, phone and desk, A4 and Letter."""

from __future__ import annotations

from tenhour.report.pictures.palette import DARK, FONT_STACK, LIGHT, css_variables

_BODY = """
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%;scroll-behavior:auto}
body{margin:0;background:var(--paper);color:var(--ink);font:16px/1.5 FONTS;overflow-wrap:anywhere}
header,main,footer,nav{max-width:62rem;margin:0 auto;padding:0 1rem}
header{padding-top:1.6rem}
h1,h2,h3{font-family:'Iowan Old Style','Palatino Linotype',Palatino,'URW Palladio L','Book Antiqua',Georgia,serif;
line-height:1.2;font-weight:600;text-wrap:balance}
h1{font-size:2.1rem;margin:.2rem 0 .3rem}
h2{font-size:1.5rem;margin:2.6rem 0 .6rem;padding-top:.7rem;border-top:3px solid var(--sun)}
h3{font-size:1.15rem;margin:1.6rem 0 .4rem}
h4{font-size:1rem;margin:1rem 0 .2rem}
p{margin:.4rem 0 .8rem;max-width:46rem}
.quiet,figcaption,caption{color:var(--quiet);font-size:.9rem}
a{color:var(--air)}
a:focus-visible,summary:focus-visible,.scroll:focus-visible{outline:3px solid var(--sun);outline-offset:2px}
.skip{position:absolute;left:-99rem}
.skip:focus{left:1rem;top:.5rem;background:var(--paper);padding:.4rem .8rem;z-index:2}
nav ul{display:flex;flex-wrap:wrap;gap:.2rem 1.1rem;list-style:none;padding:0;margin:.8rem 0}
nav a{display:inline-block;padding:.25rem 0}
.today{font-size:1.22rem;line-height:1.45;border-left:4px solid var(--sun);padding-left:1rem}
.today p{max-width:44rem;margin:.3rem 0 .7rem}
.sheet{columns:17rem 3;column-gap:1.6rem}
.card{break-inside:avoid;margin:0 0 .9rem}
.card h3{margin:.2rem 0 .2rem}
.card ul{list-style:none;padding:0;margin:0}
.card li{padding:.12rem 0;border-bottom:1px solid var(--hair)}
.card figure{margin:0}
.crops{list-style:none;padding:0;margin:.2rem 0 .6rem;columns:24rem 2;column-gap:2rem}
.crops li{break-inside:avoid;padding:.35rem 0;border-bottom:1px solid var(--hair)}
.crops b{font-weight:650}
.crops .facts{display:block;color:var(--quiet);font-size:.87rem}
.verdict{margin:1rem 0 .1rem;font-weight:650;color:var(--leaf)}
.verdict.later{color:var(--dull)}
.verdict.no{color:var(--quiet)}
.pictures{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(100%,27rem),1fr));gap:1.2rem;align-items:start}
.maps{grid-template-columns:repeat(auto-fill,minmax(min(100%,21rem),1fr))}
figure{margin:.6rem 0 1rem;min-width:0}
figcaption{max-width:46rem}
svg.picture{display:block;width:100%;height:auto;font-family:FONTS;stroke-linejoin:round}
.scroll{overflow-x:auto;max-width:100%}
table{border-collapse:collapse;font-size:.9rem;margin:.4rem 0;font-variant-numeric:tabular-nums;overflow-wrap:normal}
caption{text-align:left;padding:.2rem 0}
th,td{text-align:left;vertical-align:top;padding:.25rem .7rem .25rem 0;border-bottom:1px solid var(--hair)}
thead th{border-bottom:2px solid var(--line);vertical-align:bottom}
tbody th{font-weight:500}
td,th{max-width:26rem;min-width:2.5rem;overflow-wrap:break-word}
.n{text-align:right}
.w{white-space:nowrap}
details{margin:.4rem 0}
summary{cursor:pointer;padding:.3rem 0;color:var(--quiet)}
.plan{border:2px solid var(--sun);padding:.4rem 1rem;margin:1rem 0}
.caution{border-left:4px solid var(--now);padding-left:1.6rem}
.months{columns:20rem 3;column-gap:1.6rem}
.months h4{break-after:avoid;margin:0 0 .2rem}
.months ul{padding-left:1.1rem;margin:.2rem 0 1rem;font-size:.92rem}
.months li{break-inside:avoid}
footer{margin-top:3rem;padding-bottom:2rem;color:var(--quiet);font-size:.9rem;border-top:1px solid var(--hair)}
@media (max-width:40rem){
h1{font-size:1.7rem}
.wide svg.picture{min-width:42rem}
.scroll svg.picture{min-width:25rem}
.card .scroll svg.picture{min-width:0}
.wide .scroll svg.picture{min-width:42rem}
.maps .scroll svg.picture{min-width:19rem}
}
@media print{
:root{LIGHT color-scheme:light}
@page{margin:14mm}
body{font-size:10.5pt;background:none}
header,main,footer{max-width:none;padding:0}
nav,.skip,details:not([open]):not(.keep){display:none}
h2,h3,h4,.verdict,h2+p{break-after:avoid}
h2{margin-top:1.4rem}
figure,.plan,tr,h2+p{break-inside:avoid}
.plan{font-size:9.5pt}
.plan .caution{columns:2;column-gap:2rem;font-size:8.5pt;line-height:1.35}
.plan li{break-inside:avoid}
.scroll{overflow:visible}
.crops{columns:auto}
svg.picture{max-height:240mm;-webkit-print-color-adjust:exact;print-color-adjust:exact}
.pictures{grid-template-columns:repeat(2,1fr)}
.maps{grid-template-columns:repeat(3,1fr)}
.wide svg.picture{max-height:235mm}
.today{font-size:11pt;line-height:1.3}
#today{break-after:page}
.sheet{columns:2;font-size:9pt;line-height:1.3}
.card{margin:0 0 .5rem}
.card h3{font-size:11pt}
.card svg.picture{max-height:62mm}
.months{columns:3}
.months ul{font-size:8.5pt}
table{font-size:8.5pt}
th,td{padding:.12rem .45rem .12rem 0}
a{color:inherit;text-decoration:none}
}
"""


def css() -> str:
    """Return the whole style sheet."""
    light = css_variables(LIGHT)
    dark = f"@media (prefers-color-scheme:dark){{:root{{{css_variables(DARK)}}}}}"
    body = _BODY.replace("FONTS", FONT_STACK).replace("LIGHT", light).strip()
    return f":root{{{light}color-scheme:light dark}}{dark}{body}"
