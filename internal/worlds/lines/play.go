package lines

// Play teaches a learner, has it hear the later records of a world as they are, or as [World.Spoil] gave them, and scores it.
func Play(w *World, records []Record, learn Learner, seed uint64) (*Score, error) {
	count := &asked{}
	listener, err := learn(w.lesson(seed, count))
	if err != nil {
		return nil, err
	}
	var answers []Answer
	for _, c := range Chunks(records, seed+1) {
		answers = append(answers, listener.Hear(c.At, c.Bytes)...)
	}
	answers = append(answers, listener.End()...)
	s := Judge(records, answers)
	s.Asked, s.Marked = count.words, count.lines
	return s, nil
}
