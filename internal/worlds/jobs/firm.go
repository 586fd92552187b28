package jobs

// Firm sets what stands on papers, lets somebody and a phone in, and opens and closes a visit.
func Firm() Job {
	return Job{Name: "firm", Shell: true, Stages: []Stage{
		{Name: "the firm's name", Play: setFirm},
		{Name: "a certificate's facts", Play: setFacts},
		{Name: "a person", Play: func(p *Person) {
			p.begin()
			p.addManager()
			if !p.Fell() && p.HasField("Password") && p.Is("=Sign in") {
				p.signIn()
			}
			p.Toward([]string{"Book", "More", "Menu", "Settings"}, "People")
			p.Press("People")
			p.Read("who was added", owner)
		}},
		{Name: "a phone", Play: pairPhone},
		{Name: "open a visit", Play: openVisit, Round: Book.OpenVisit},
		{Name: "close the visit", Play: closeVisit},
	}}
}

func setFirm(p *Person) {
	p.begin()
	name := []string{"Name of the firm", "Firm's name", "=Firm", "Your firm", "Name of your firm"}
	p.TowardField([]string{"Firm", "Book", "Papers", SiteName, "Papers", "Settings", "More", "Menu"}, name...)
	p.Fill("Invented Fire Care", name...)
	p.Send(send("Save the firm", "Set the firm")...)
	p.Read("the firm's name", "Invented Fire Care")
}

func setFacts(p *Person) {
	p.toSite()
	name := []string{"Responsible person", "Customer", "Client"}
	p.TowardField([]string{"Settings", "Facts", "Papers", "Certificate", "More", "Menu"}, name...)
	p.Fill("E. Example", name...)
	p.Send(send("Save the facts", "Set the facts")...)
	p.Holds("E. Example", name...)
	p.Read("that the fact was written", "written", "written down", "saved")
}

func pairPhone(p *Person) {
	p.begin()
	p.Toward([]string{"More", "Menu", "Book"}, "Phones")
	p.Press("Phones")
	pair := []string{"Pair a phone", "Let a phone in", "Add a phone", "New phone", "Let this phone in"}
	p.Toward([]string{"Serve phones", "Start"}, pair...)
	p.Press(pair...)
	p.Read("what to do on the phone", "scan", "camera", "open it on the phone", "with the phone", "type it on the phone")
}

func openVisit(p *Person) {
	p.toSite()
	open := []string{"Open the visit", "Open a visit", "Open this visit", "Begin the visit", "Start the visit", "Begin a visit"}
	p.Toward([]string{"More", "Menu"}, "=Visit", "Plan a visit")
	p.Press("=Visit", "Plan a visit")
	if p.HasField("Minutes on site", "Minutes") {
		p.Fill("240", "Minutes on site", "Minutes")
		p.Send("Plan the round", "Plan")
	}
	p.Toward([]string{"Go on", "Next"}, open...)
	p.tickAll()
	p.Send(open...)
	p.Read("that the visit is open", "is open", "opened", "open since")
}

func closeVisit(p *Person) {
	p.toSite()
	shut := []string{"Close the visit", "Close this visit", "End the visit", "Close it", "=Close"}
	p.Toward([]string{"Visit", "More", "Menu"}, shut...)
	if p.Is("in normal operation") {
		p.Tick("in normal operation")
	}
	p.tickAll()
	p.Send(shut...)
	p.Read("that the visit is closed", "is closed", "was closed", "no visit is open", "left in normal operation")
}
