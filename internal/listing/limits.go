package listing

// Limits bound what one file may cost. A zero field means its default.
type Limits struct {
	MaxLine     int   // bytes in one row or one cell; default 1 MiB
	MaxCols     int   // cells in one row; default 1024
	MaxSheets   int   // sheets in one workbook; default 256
	MaxMerges   int   // merged ranges in one workbook; default 100 000
	MaxUnzipped int64 // bytes of a workbook once unpacked, if its own size allows; default 512 MiB
	MaxStrings  int   // texts that the sheets of a workbook share, which stay in memory; default 1 000 000
	MaxText     int   // bytes of those texts; default 64 MiB
	MaxStyles   int   // styles of a workbook, and its own number formats; default 65 536
}

// maxCellLines bounds a quoted cell, so that a stray quote cannot swallow a whole file.
const maxCellLines = 1000

func (l Limits) withDefaults() Limits {
	setDefault(&l.MaxLine, 1<<20)
	setDefault(&l.MaxCols, 1024)
	setDefault(&l.MaxSheets, 256)
	setDefault(&l.MaxMerges, 100_000)
	setDefault(&l.MaxUnzipped, 512<<20)
	setDefault(&l.MaxStrings, 1_000_000)
	setDefault(&l.MaxText, 64<<20)
	setDefault(&l.MaxStyles, 1<<16)
	return l
}

func setDefault[T int | int64](field *T, value T) {
	if *field <= 0 {
		*field = value
	}
}
