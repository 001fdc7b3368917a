package kind

var dims = Kind{
	Name:   "dims",
	Doc:    "names values; an unnamed one sets them in the section itself",
	Values: true,
}
