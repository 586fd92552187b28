package jobs

// Change adds, moves, renames and removes a device, ten at once, and takes each back.
func Change() Job {
	return Job{Name: "change", Shell: true, Stages: []Stage{
		{Name: "add a device", Play: addDevice},
		{Name: "take back the adding", Needs: "add a device", Play: takeBack("1.2.099", "")},
		{Name: "move a device", Play: moveDevice},
		{Name: "take back the move", Needs: "move a device", Play: takeBack("", "")},
		{Name: "change a place", Play: changePlace},
		{Name: "take back the change of place", Needs: "change a place", Play: takeBack("Bell loft", Place(1, 12))},
		{Name: "remove a device", Play: removeDevice},
		{Name: "take back the removal", Needs: "remove a device", Play: takeBack("", Place(1, 13))},
		{Name: "select ten", Play: selectTen},
		{Name: "change the ten at once", Needs: "select ten", Play: changeTen},
		{Name: "take back the change of ten", Needs: "change the ten at once", Play: takeBack("Bell loft", "")},
	}}
}

func addDevice(p *Person) {
	p.toPoints()
	add := []string{"Add a device", "Add device", "New device", "Fit a device", "Add a point"}
	p.Toward([]string{"Settings", "Loops", "More", "Menu"}, add...)
	p.Press(add...)
	p.Fill("1.2.099", "=Number", "Address", "Point", "Number")
	if p.HasField("Type") {
		p.Choose("Larch", "Type")
	}
	p.Fill("Bell loft", "Place", "Location", "Where", "Place in words")
	p.Send(send("Add the device", "Add it", "Add this device", "Fit it")...)
	p.Read("that the device was added", "Bell loft")
}

// change goes to the form of a change of the point: by its own name, or as one of the things that can be written down.
func (p *Person) change(kind string, words, via []string) {
	if p.Is(words...) || !p.HasField("=What") {
		p.Toward(via, words...)
		p.Press(words...)
		return
	}
	p.Choose(kind, "=What")
	if p.Way.NoScript {
		p.Press("Show the fields of what is chosen", "Show the fields")
	}
}

// moveDevice gives a device another number of its loop.
func moveDevice(p *Person) {
	p.toPoint("1.1.011", Place(1, 11))
	move := []string{"Move", "Move it", "Move this device", "Move the device", "Give it another number", "Change number"}
	if set := "It was set to this number"; !p.Is(move...) && p.Is(set) {
		p.Fill("112", "=Number")
		p.Send(set)
	} else {
		p.Toward([]string{"Change", "More", "Edit"}, move...)
		p.Press(move...)
		p.Fill("1.1.112", "New number", "To number", "To", "New address", "Number", "Address")
		p.Send(send("Move it", "Move the device", "=Move")...)
	}
	p.Read("that it was moved", "1.1.112", "number set 112", "stands 112")
	p.Titled("its place as before", Place(1, 11))
}

func changePlace(p *Person) {
	p.toPoint("1.1.012", Place(1, 12))
	words := []string{"Change place", "Change the place", "Place text", "Change its place", "Change place text", "Rename", "Edit"}
	p.change("the point is elsewhere", words, []string{"Change", "More"})
	if p.HasField("=Panel") && p.HasField("=Loop") { // the form takes nothing without
		p.Fill("1", "=Panel")
		p.Fill("1", "=Loop")
	}
	p.Fill("Bell loft", "Place", "Location", "Place text", "Where")
	p.Send(send("Change the place", "Change it")...)
	p.Read("the new place", "Bell loft")
	p.Titled("the area as before", "Wing 1")
}

func removeDevice(p *Person) {
	p.toPoint("1.1.013", Place(1, 13))
	words := []string{"Remove", "Remove it", "Remove this device", "Take it out", "Remove the device"}
	p.change("the point is no more", words, []string{"Change", "More", "Edit"})
	if p.Is("Write it down") {
		p.Send("Write it down")
	}
	if p.Is("Remove it", "Remove the device", "Remove this device", "=Remove") {
		p.Press("Remove it", "Remove the device", "Remove this device", "=Remove")
	}
	p.Read("that it was removed", "removed")
}

// selectTen ticks ten points of the list, each by its number.
func selectTen(p *Person) {
	p.toPoints()
	for _, number := range ten {
		p.Tick("1.1."+number, "Select 1.1."+number)
	}
	p.Read("that ten are selected", "10 selected", "10 points", "ten")
}

var ten = []string{"021", "022", "023", "024", "025", "026", "027", "028", "029", "030"}

func changeTen(p *Person) {
	act := []string{"Move", "Move them", "Change", "Change them", "Change place", "Act on them"}
	p.Toward([]string{"More"}, act...)
	p.Press(act...)
	p.Fill("Bell loft", "Place", "Location", "Area", "To")
	p.Send(send("Move them", "Change them")...)
	p.Read("that ten were changed", "Bell loft")
}

// takeBack presses what the confirmation offers, and looks that it is as it was.
func takeBack(gone, again string) func(*Person) {
	return func(p *Person) {
		p.Press(back...)
		if p.Is("=Yes", "Take it back") && !p.Reads("taken back") {
			p.Press("=Yes", "Take it back")
		}
		p.Read("that it was taken back", "taken back", "undone", "as it was")
		if p.Fell() || gone == "" && again == "" {
			return
		}
		p.toPoints()
		if gone != "" {
			p.Gone("what was taken back", gone)
		}
		if again != "" {
			p.Read("what was there before", again)
		}
	}
}
