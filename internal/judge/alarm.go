package judge

// cleanValue is where the value lies of a clean unit: as the type sheet says, else as the site teaches.
func (k *kin) cleanValue() (rest float64, known bool) {
	if k.sheet != nil && k.sheet.FactoryRest != nil {
		return *k.sheet.FactoryRest, true
	}
	return k.scale.value(k.rest), k.read > 1
}

// findAlarmShare says how much of the way from rest to the alarm level the value
// has gone. A value that device or panel corrects tells nothing of it, since the
// alarm level moves along.
func (s *study) findAlarmShare() {
	if s.Band == nil || s.Band.Alarm == nil || s.Verdict == NoReading || s.Sheet.Compensated {
		return
	}
	rest, known := s.kin.cleanValue()
	if way := *s.Band.Alarm - rest; known && way*dirtSign(s.Sheet) > 0 {
		s.AlarmShare = given((s.Value - rest) / way)
	}
}

// telling is the least share of the way to the alarm level that is worth words: a
// judgement of ours, no source.
const telling = 0.1

// toAlarm says how much more or less it now takes to alarm, as far as the value
// is in proportion to what the device senses.
func (s *study) toAlarm() string {
	switch {
	case s.AlarmShare == nil:
		return ""
	case *s.AlarmShare >= 1:
		return "it rests at or beyond its alarm level of " + s.amount(*s.Band.Alarm)
	case *s.AlarmShare >= telling:
		return "it has drifted " + percent(*s.AlarmShare) + " of the way to its alarm level of " + s.amount(*s.Band.Alarm) + ": so much less is enough for an alarm"
	case *s.AlarmShare <= -telling:
		return "it has drifted away from its alarm level of " + s.amount(*s.Band.Alarm) + ": it takes " + number(-100**s.AlarmShare) + " % more for an alarm"
	}
	return ""
}
