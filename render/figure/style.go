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
	`.f-accent.f-fill{fill:var(--accent)}.f-wearer.f-fill{fill:var(--worn);fill-opacity:.15}` +
	`.figure text.f-dim{fill:var(--pencil)}.figure text.f-back{fill:var(--pencil)}` +
	`.figure text.f-accent{fill:var(--accent);font-weight:600}` +
	`.figure text.f-name{font-weight:600}.figure text.f-wearer,.figure text.f-mark{fill:var(--worn)}` +
	`svg:root{color-scheme:light dark}@media print{.figure{color-scheme:light}}`
