package kind

// All lists the kinds in the order in which help shows them. A new kind is one file and one line.
var All = []*Kind{
	&dims,
	&wearer,
	&material,
	&tool,
	&limits,
	&panel,
	&bevel,
	&stack,
	&box,
	&ringKind,
	&loft,
	&meshKind,
	&seam,
	&tube,
	&cone,
	&elbow,
	&dome,
	&transition,
	&tally,
	&layout,
	&list,
}
