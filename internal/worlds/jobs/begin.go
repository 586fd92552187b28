package jobs

// Begin is the way from an empty book to the first finding, with a listing of one's own.
func Begin(files []string) Job {
	return Job{Name: "begin", Limit: 300, Shell: true, Stages: []Stage{
		{Name: "owner", Play: func(p *Person) {
			p.addManager()
			if !p.Fell() && p.HasField("Password") && p.Is("=Sign in") {
				p.signIn()
				p.stumble("stay signed in after adding oneself", "the pages asked to sign in again")
			}
		}},
		{Name: "site", Play: addSite, Round: Book.AddSite},
		{Name: "visit rules", Play: setRules, Round: Book.ChooseRules},
		{Name: "loop", Play: addLoop}, // listings bring loops of their own
		{Name: "listing", Play: func(p *Person) { handIn(p, files) }, Round: func(b Book) error { return b.TakeIn(files) }},
		{Name: "finding", Play: func(p *Person) {
			p.toSite()
			p.Read("the first finding, at the point whose readings rise out of the band", Place(1, rising))
			p.Read("how many points there are", "150 points", "150")
		}},
	}}
}

func addSite(p *Person) {
	p.begin()
	p.Toward([]string{"Sites", "Begin with your own site", "Begin", "Book", "Settings"}, "Add a site", "Add your site", "Add your first site", "New site", "Name of the site", "Site's name", "Name of site")
	if !p.HasField("Name of the site", "Site's name", "Name of site") {
		p.Press("Add a site", "Add your site", "Add your first site", "New site")
	}
	p.Fill(SiteName, "Name of the site", "Site's name", "Name of site", "Name")
	p.Send(send("Add the site", "Add this site", "Add site")...)
	p.Read("that the site was added", SiteName)
}

func setRules(p *Person) {
	p.toSite()
	rules := []string{"Visit rules", "Rules of visits", "Rules", "Rule set", "Visits by"}
	p.TowardField([]string{"Settings", "Set up", "Visit rules", "Rules", "More", "Menu"}, rules...)
	p.Pick("BS 5839-1:2025", rules...)
	p.Send(send("Choose", "Use these rules")...)
	p.Read("that the rules were written", "BS 5839-1:2025")
}

func addLoop(p *Person) {
	p.toSite()
	p.Toward([]string{"Settings", "Set up", "Loops", "More", "Menu"}, "Add a loop", "New loop", "Add loop", "Describe a loop", "=Loop")
	if p.Is("Add a loop", "New loop", "Add loop", "Describe a loop") && !p.HasField("=Loop", "Loop number", "Number of the loop") {
		p.Press("Add a loop", "New loop", "Add loop", "Describe a loop")
	}
	p.Fill("1", "=Loop", "Loop number", "Number of the loop", "Loop")
	p.Send(send("Add the loop", "Add loop", "Add this loop")...)
	p.Read("that the loop is there", "Loop 1", "1.1")
}

func handIn(p *Person, files []string) {
	p.toSite()
	p.Toward([]string{"More", "Menu", "Set up"}, "Intake", "Take in", "Hand in", "Take in listings", "Listings")
	p.Press("Intake", "Take in", "Hand in", "Take in listings", "Listings")
	p.HandIn(files, "Files", "Listings", "Choose files", "Your listings", "Choose", "File")
	p.Send("Look at them", "Look at it", "Look", "Understand", "Go on")
	p.Toward([]string{"Go on", "Next"}, "Take this in", "Take it in", "Take them in", "Take in")
	p.Press("Take this in", "Take it in", "Take them in", "=Take in")
	p.Read("how many were taken in", "150")
}
