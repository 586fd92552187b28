package jobs

// The plain words by which a step may be named on the screen. Several, because the pages choose theirs.
var (
	home   = []string{"Today", "Home", "Start"}
	search = []string{"=Search", "^Search", "^Find", "^Look for"}
	back   = []string{"Take it back", "Take this back", "Take back", "Undo", "Take them back"}
	save   = []string{"Save", "Write it down", "Write down", "Write", "Set", "Change", "Keep", "Add"}
)

// send is what ends a form: its own words first, then the common ones.
func send(own ...string) []string { return append(own, save...) }

// begin goes to the first page by what is on the screen.
func (p *Person) begin() {
	if p.Is("=Sign in") && p.HasField("Password") {
		p.signIn()
	}
	if !p.Is(home...) && p.Is("Menu", "More") {
		p.Press("Menu", "More")
	}
	p.Press(append(home, "Sootline")...)
}

// toSite goes to the page of the site of the jobs.
func (p *Person) toSite() {
	p.begin()
	p.Toward([]string{"Sites", "All sites"}, SiteName)
	p.Press(SiteName)
}

// toPoint goes to the page of a point of the site.
func (p *Person) toPoint(number, place string) {
	p.toPoints()
	p.Toward([]string{"Next", "More"}, number, place)
	p.Press(number, place)
}

func (p *Person) toPoints() {
	p.toSite()
	p.Toward([]string{"Menu", "More", "This site"}, "Points", "Devices")
	p.Press("Points", "Devices")
}

const (
	owner    = "A. Tech"
	password = "seven plain grey pebbles"
)

// signIn gives name and password where the page asks for them.
func (p *Person) signIn() {
	p.Fill(owner, "Name", "Your name")
	p.Fill(password, "Password")
	p.Send("=Sign in")
}

// addManager puts a manager on the list of people, or makes the owner at a first start.
func (p *Person) addManager() {
	p.TowardField([]string{"Begin", "Start", "People", "More", "Menu", "Book"}, "Your name", "Name")
	p.Fill(owner, "Your name", "Name")
	if p.HasField("Role") {
		p.Choose("manager", "Role")
	}
	p.Fill(password, "Password")
	if p.HasField("Once more", "Password again", "Repeat") {
		p.Fill(password, "Once more", "Password again", "Repeat")
	}
	p.Send("=Add", "Begin", "Add me", "Add yourself", "Make the owner", "Save")
}
