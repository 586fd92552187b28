package listing

func (r *rowReader) readType() *TypeRow {
	s := &r.sheet
	*s = TypeRow{}
	for _, slot := range r.rest {
		cell, kind := r.get(slot)
		switch slot.field {
		case Name:
			s.Name = cell
		case Device:
			s.Device, s.DeviceText = r.u.lx.device(cell), cell
		case Quantity:
			s.Quantity = cell
		case Unit:
			s.Unit = cell
		case Band:
			r.readBand(s, slot, cell, kind)
		case Worse:
			s.Worse = r.direction(slot, cell)
		case Compensated:
			s.Compensated, s.SaidSo = r.yesNo(slot, cell)
		case Settings:
			s.Settings = cell
		case BandSetting:
			s.BandSetting = cell
		default:
			r.typeFigure(s, slot, cell, kind)
		}
	}
	if s.Name == "" {
		r.fail(r.u.column(Name), "the name of the type", "nothing", "")
	}
	r.holdSheet(s)
	return s
}

func (r *rowReader) typeFigure(s *TypeRow, slot slot, cell string, kind cellKind) {
	figure, unit := r.figure(slot, cell, kind)
	switch slot.field {
	case Width:
		if s.Width = figure; figure.Known && (figure.Value < 0 || figure.Value != float64(int(figure.Value))) {
			r.fail(slot.column, "a whole number of addresses", quoteShort(cell), "")
		}
	case Low:
		s.Low = figure
	case High:
		s.High = figure
	case Alarm:
		s.Alarm = figure
	case UsualNoise:
		s.Noise = figure
	case SpreadLimit:
		s.Spread = figure
	case CleanRest:
		s.Rest = figure
	case Standby:
		s.Standby = figure
	case AlarmCurrent:
		s.AlarmCurrent = figure
	case LeastVolts:
		s.LeastVolts = figure
	case Life:
		s.Life = figure
	}
	if unit != "" && s.Unit == "" && (slot.field == Low || slot.field == High || slot.field == Alarm) {
		s.Unit = unit
	}
}

// direction reads where dirt moves a value.
func (r *rowReader) direction(slot slot, cell string) string {
	if cell == "" || cell == "-" {
		return ""
	}
	way, ok := r.u.lx.directions[fold(cell)]
	if !ok {
		r.fail(slot.column, "up or down", quoteShort(cell), "write which way dirt moves the value, or leave it empty")
	}
	return way
}

func (r *rowReader) yesNo(slot slot, cell string) (yes, said bool) {
	if cell == "" {
		return false, false
	}
	yes, ok := r.u.lx.yes[fold(cell)]
	if !ok {
		r.fail(slot.column, "yes or no", quoteShort(cell), "")
	}
	return yes, ok
}
