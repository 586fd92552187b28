package sootline

import "slices"

// SiteFacts are what papers and people must know of a site beside its name. They
// live in the log, once. Empty: nobody said.
type SiteFacts struct {
	Address     string `json:"address,omitempty" form:"address of the premises"`
	Customer    string `json:"customer,omitempty" form:"customer"`
	Responsible string `json:"responsible,omitempty" form:"responsible person"`
	Contact     string `json:"contact,omitempty" form:"how the responsible person is reached"`
	Category    string `json:"category,omitempty" form:"category or extent of the system"`
	Follows     string `json:"follows,omitempty" form:"the code that the site follows"`
	Panels      string `json:"panels,omitempty" form:"control equipment: make, model, where"`
	Monitoring  string `json:"monitoring,omitempty" form:"monitoring centre, and how it is told"`
	Firm        string `json:"firm,omitempty" form:"name of the firm that looks after it"`
	FirmContact string `json:"firm_contact,omitempty" form:"how the firm is reached"`
}

func (f SiteFacts) say() string {
	return Joined(labelledText("address", f.Address), labelledText("customer", f.Customer), labelledText("responsible", f.Responsible), labelledText("reached at", f.Contact),
		labelledText("category", f.Category), labelledText("follows", f.Follows), labelledText("control equipment", f.Panels), labelledText("monitored by", f.Monitoring),
		labelledText("looked after by", f.Firm), labelledText("firm reached at", f.FirmContact))
}

// fold puts what is given in the place of what was.
func (f SiteFacts) fold(into *SiteFacts) {
	replace(&into.Address, f.Address)
	replace(&into.Customer, f.Customer)
	replace(&into.Responsible, f.Responsible)
	replace(&into.Contact, f.Contact)
	replace(&into.Category, f.Category)
	replace(&into.Follows, f.Follows)
	replace(&into.Panels, f.Panels)
	replace(&into.Monitoring, f.Monitoring)
	replace(&into.Firm, f.Firm)
	replace(&into.FirmContact, f.FirmContact)
}

func (r Rules) say() string {
	return Joined(countSaid(r.VisitMonths, "month from visit to visit", "months from visit to visit"),
		countSaid(r.ForgottenDays, "day until a disablement counts as forgotten", "days until a disablement counts as forgotten"),
		labelledText("usual spread", figure(r.PooledSD, "")), r.Losses.Say())
}

// FactFields lists the fields of a form of these facts, in order; [BodyOf] makes
// the entry of it.
func FactFields() []Field {
	own := []string{"name", "zone", "remark", "rules"}
	return slices.DeleteFunc(FieldsOf(OpenedKind), func(f Field) bool { return slices.Contains(own, f.Key) })
}
