package app

import (
	"fmt"
	"strings"

	"sootline"
	"sootline/internal/listing"
)

// retype notes with a replacement the type that its row names, and says why that is held where the register has another.
func (t *taker) retype(o *TableOutcome, p *sootline.Point, record listing.Record, h *happening) (held string, err error) {
	body, ok := h.body.(sootline.Replaced)
	row := record.Event
	if !ok || row.Type == "" {
		return "", nil
	}
	body.Type = t.typeMeant(row.Type)
	e, err := t.entry(h.at, p.ID, t.r.Meant(sootline.AliasPerson, strings.TrimSpace(h.by)), body)
	if err != nil {
		return "", err
	}
	_, known := t.seen.book[e.ID]
	switch other := sootline.TypeKey(body.Type) != sootline.TypeKey(p.Type); {
	case known:
		h.body = body
	case other && p.Type == "":
		h.body = body
	case other:
		h.body = body
		return t.effect(o, record.Line, EffectRetype, fmt.Sprintf("the register has %s at %s, and the row says that a device of type %s replaced it", unitOf(p), p.Ref(), body.Type)), nil
	}
	return "", nil
}
