package kind

var list = Kind{
	Name:    "list",
	Doc:     "shows a table drawn from the ledger: parts, materials, what to buy, hours, findings or templates",
	Unbound: true,
	Keys: []Key{
		{Name: "of", Want: Word, Words: []string{"parts", "materials", "shopping", "hours", "findings", "templates"}, Required: true, Doc: "what to list"},
		{Name: "over", Want: Word, Words: []string{"section", "build"}, Doc: "for this section, or for the whole build; the section if the page has one"},
	},
	Work: func(b *Bench) {
		over := b.Word("over", "section")
		b.Out.Listing = &Listing{Of: b.Word("of", ""), Build: over == "build" || b.Section == ""}
	},
}
