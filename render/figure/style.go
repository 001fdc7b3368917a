package figure

// Style holds the rules that give a figure its look, for the style sheet of a page and for a
// figure that stands alone. A theme sets the --fig-… properties; without one they fall back
// to ink on paper, by day and by night.
const Style = `.figure{--ink:var(--fig-ink,light-dark(#26231f,#e9e4d8));` +
	`--paper:var(--fig-paper,light-dark(#fbf8f1,#1d1f22));` +
	`--pencil:var(--fig-pencil,light-dark(#6b665d,#a39d90));` +
	`--accent:var(--fig-accent,light-dark(#b4470f,#f0935a));` +
	`--foam:var(--fig-foam,light-dark(#e9e0cb,#3a3830));` +
	`--foam2:var(--fig-foam2,light-dark(#d6c9ab,#4c483b));` +
	`--worn:var(--fig-worn,light-dark(#2f6173,#86bfd2));` +
	`--shade1:var(--fig-shade1,light-dark(#f6f1e3,#57605f));` +
	`--shade2:var(--fig-shade2,light-dark(#e9e0cb,#48504f));` +
	`--shade3:var(--fig-shade3,light-dark(#d9ceb4,#3b4241));` +
	`--shade4:var(--fig-shade4,light-dark(#c8bca1,#2f3534));` +
	`--shade5:var(--fig-shade5,light-dark(#b5a98f,#252a29));` +
	`display:block;width:100%;height:auto;max-height:32rem;` +
	`fill:none;stroke:var(--ink);stroke-width:1.2;stroke-linejoin:round;stroke-linecap:round}` +
	`.figure path{vector-effect:non-scaling-stroke}` +
	`.figure text{fill:var(--ink);stroke:var(--paper);stroke-width:.28em;stroke-opacity:.85;stroke-dasharray:none;paint-order:stroke;` +
	`font-family:var(--fig-font,ui-sans-serif,system-ui,sans-serif);text-anchor:middle;` +
	`font-variant-numeric:tabular-nums}` +
	`.figure text.f-start{text-anchor:start}.figure text.f-end{text-anchor:end}` +
	`.f-cut{stroke-width:2}.f-hole{stroke-width:1.6}` +
	`.f-back{stroke-width:1.2;stroke-dasharray:6 4;stroke:var(--pencil)}` +
	`.f-mark,.f-drill{stroke-width:1.2;stroke:var(--worn)}` +
	`.f-dim,.f-hatch{stroke-width:.9;stroke:var(--pencil)}.f-hatch{opacity:.7}` +
	`.f-centre{stroke-width:.9;stroke:var(--pencil);stroke-dasharray:12 3 2 3}` +
	`.f-accent{stroke-width:2;stroke:var(--accent)}.f-wearer{stroke:var(--worn);stroke-width:1.6}` +
	`.f-fill{fill:var(--foam)}.f-body2.f-fill{fill:var(--foam2)}` +
	shades +
	`.f-accent.f-fill{fill:var(--accent)}.f-wearer.f-fill{fill:var(--worn);fill-opacity:.15}` +
	`.figure text.f-dim{fill:var(--pencil)}.figure text.f-back{fill:var(--pencil)}` +
	`.figure text.f-accent{fill:var(--accent);font-weight:600}` +
	`.figure text.f-name{font-weight:600}.figure text.f-wearer,.figure text.f-mark{fill:var(--worn)}` +
	`svg:root{color-scheme:light dark}@media print{.figure{color-scheme:light}}`

// shades fill a face and its rim alike, so that the pieces of one face show no seam.
const shades = `.f-shade1{fill:var(--shade1);stroke:var(--shade1)}.f-shade2{fill:var(--shade2);stroke:var(--shade2)}` +
	`.f-shade3{fill:var(--shade3);stroke:var(--shade3)}.f-shade4{fill:var(--shade4);stroke:var(--shade4)}` +
	`.f-shade5{fill:var(--shade5);stroke:var(--shade5)}`
