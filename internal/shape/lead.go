package shape

import "sootline/internal/app"

// Lead is a search for a fault, step by step.
type Lead struct {
	Loop       string        `json:"loop"`
	Conclusion string        `json:"conclusion"`
	Done       bool          `json:"done"`
	Against    bool          `json:"contradicted" doc:"It is done, and what was told fits no single fault"`
	Likely     []LeadVerdict `json:"likely" doc:"The likeliest first"`
	Next       *LeadStep     `json:"next,omitempty"`
	Warned     []string      `json:"warned" doc:"What comes before the next step: where to look first, a reading that is the wrong way round"`
	Doubts     []string      `json:"doubts" doc:"Answers that fit nothing likely: ask them again"`
	Beyond     float64       `json:"beyond" doc:"The share of two faults at once, or of one that is not thought of, from 0 to 1"`
	Restore    []string      `json:"restore" doc:"What is to be plugged in again where the search is left now"`
	OnSpurs    int           `json:"on_spurs" doc:"Points on spurs, along which the search does not look"`
	Assumed    []string      `json:"assumed"`
	Caution    string        `json:"caution"`
}

// LeadVerdict is a place where the fault may be.
type LeadVerdict struct {
	Kind  string  `json:"kind"`
	Where string  `json:"where"`
	Share float64 `json:"share" doc:"How sure, from 0 to 1"`
	Text  string  `json:"text"`
}

// LeadStep is what to do next.
type LeadStep struct {
	Step    string   `json:"step" doc:"As it is spelled where its answer is told"`
	Do      []string `json:"do"`
	Caution string   `json:"caution"`
	Expects string   `json:"expects" doc:"How its answer is written"`
	Minutes int      `json:"minutes" doc:"As expected"`
}

// OfLead gives a search.
func OfLead(l *app.Lead) Lead {
	lead := Lead{
		Loop: l.Loop, Conclusion: l.Conclusion(), Done: l.Next == nil, Against: l.Against, Warned: orEmpty(l.Warned), Doubts: orEmpty(l.Doubts),
		Beyond: *rounded(&l.Beyond), Restore: orEmpty(l.Restore), OnSpurs: l.Spurs, Assumed: orEmpty(l.Assumed), Caution: app.CircuitCaution,
	}
	for _, v := range l.Likely {
		share := v.Share
		lead.Likely = append(lead.Likely, LeadVerdict{v.Kind, v.Where, *rounded(&share), v.Text})
	}
	if n := l.Next; n != nil {
		lead.Next = &LeadStep{n.Code, n.Do, n.Caution, n.Expects, n.Minutes}
	}
	return lead
}
