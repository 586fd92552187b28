package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// loadsTyped is what was typed of a load list.
type loadsTyped struct {
	list    sootline.LoadList
	own     string
	lines   map[sootline.LoadPart]*[]string
	rule    int
	coldest float64
	forget  []string
	flags   *pflag.FlagSet
}

// loadsFigure is a figure of a load list that is typed as a flag.
type loadsFigure struct {
	flag, usage string
	of          func(*sootline.LoadList) *float64
}

func loadsFigures() []loadsFigure {
	return []loadsFigure{
		{"hours", "hours at rest, the site's own in place of the rule's", func(l *sootline.LoadList) *float64 { return &l.StandbyHours }},
		{"alarm-hours", "hours in alarm, the site's own in place of the rule's", func(l *sootline.LoadList) *float64 { return &l.AlarmHours }},
		{"margin", "factor on the whole, the site's own in place of the rule's", func(l *sootline.LoadList) *float64 { return &l.Margin }},
		{"design", "factor for load that is added later", func(l *sootline.LoadList) *float64 { return &l.Design }},
		{"ageing", "ageing factor where the rule has none", func(l *sootline.LoadList) *float64 { return &l.Ageing }},
		{"charger-ma", "what the charger gives on average beside the load", func(l *sootline.LoadList) *float64 { return &l.ChargerMA }},
		{"accepts", "share of the charge that the battery keeps", func(l *sootline.LoadList) *float64 { return &l.Accepts }},
		{"largest-ah", "the largest battery that the panel takes", func(l *sootline.LoadList) *float64 { return &l.LargestAh }},
	}
}

func standbyLoads(s *session) *cobra.Command {
	typed := loadsTyped{lines: map[sootline.LoadPart]*[]string{}}
	cmd := &cobra.Command{
		Use: "loads PANEL", Short: "Write down what hangs on a panel beside its loops, and what its battery lives under",
		Long: "Write down the load list of a panel: its own draw, sounder circuits, outputs and auxiliary\n" +
			"supply, with the site's own hours and factors, the charger and the largest battery that the\n" +
			"panel takes. The devices on its loops come from the register. A line is typed as\n" +
			"NAME=COUNTxREST/ALARM in mA, of one. What is typed replaces what was known; what is left out\n" +
			"stays; --forget takes a figure or a line away again. `standby --panel`, the Battery page,\n" +
			"`paper battery` and the pack all size by this list.",
		Example: "  sootline standby loads 1 --panel-ma 120/250 --sounders \"bells=2x0/350\" --auxiliary \"door holders=4x50/0\"\n" +
			"  sootline standby loads 1 --rule 1 --charger-ma 500 --largest-ah 17 --forget bells",
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			typed.flags = cmd.Flags()
			panel := sootline.CleanName(args[0])
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				r, err := a.Register(cmd.Context(), site.ID, now())
				if err != nil {
					return err
				}
				list, err := typed.over(r.Loads(panel), panel)
				if err != nil {
					return err
				}
				if err := a.SetLoads(cmd.Context(), site.ID, list); err != nil {
					return err
				}
				_, err = fmt.Fprintf(s.out, "%s\nNext: sootline standby --panel %s\n", s.wrap("Kept: "+sootline.Say(list)+".", 0), shellWord(panel))
				return err
			})
		},
	}
	f := cmd.Flags()
	f.StringVar(&typed.own, "panel-ma", "", "the panel's own draw with the mains failed, as REST/ALARM in mA")
	for _, part := range sootline.LoadParts() {
		typed.lines[part] = new([]string)
		f.StringArrayVar(typed.lines[part], string(part), nil, "a line of "+string(part)+", as NAME=COUNTxREST/ALARM in mA; repeat for more")
	}
	for _, figure := range loadsFigures() {
		f.Float64Var(figure.of(&typed.list), figure.flag, 0, figure.usage)
	}
	f.IntVar(&typed.rule, "rule", 0, "number of the rule set that sizes it (sootline standby --rules)")
	f.Float64Var(&typed.coldest, "coldest", 0, "lowest temperature of the battery, in degrees Celsius")
	f.StringArrayVar(&typed.forget, "forget", nil, "take this away again: a figure by its flag, or a line by its name; repeat for more")
	return cmd
}

// over lays what was typed over the list that is kept.
func (t *loadsTyped) over(known *sootline.KeptLoads, panel string) (sootline.LoadList, error) {
	var list sootline.LoadList
	if known != nil {
		list = known.LoadList
		list.Loads = slices.Clone(list.Loads)
	}
	list.Panel = panel
	for _, name := range t.forget {
		if err := forgetLoad(&list, strings.TrimPrefix(name, "--")); err != nil {
			return list, err
		}
	}
	for _, figure := range loadsFigures() {
		if err := refuseZero(t.flags, figure.flag, *figure.of(&t.list)); err != nil {
			return list, err
		}
	}
	said := len(t.forget) > 0
	t.flags.Visit(func(f *pflag.Flag) {
		for _, figure := range loadsFigures() {
			if figure.flag == f.Name {
				*figure.of(&list) = *figure.of(&t.list)
				said = true
			}
		}
	})
	if t.flags.Changed("coldest") {
		list.Coldest, said = &t.coldest, true
	}
	typed, err := t.overLines(&list)
	if err != nil {
		return list, err
	}
	ruled, err := t.overRule(&list)
	if err == nil && !said && !typed && !ruled {
		err = sootline.Errorf(sootline.Invalid, "for example --panel-ma 120/250", "nothing was said of the load list of panel %s", panel)
	}
	return list, err
}

func (t *loadsTyped) overRule(list *sootline.LoadList) (said bool, err error) {
	if !t.flags.Changed("rule") {
		return false, nil
	}
	rules := app.StandbyRules()
	if t.rule < 1 || t.rule > len(rules) {
		return true, sootline.Errorf(sootline.Invalid, "see which there are", "there is no rule set %d", t.rule).Do(sootline.ListStandbyRules)
	}
	list.Rule = rules[t.rule-1].Name
	return true, nil
}

// overLines lays the lines over those that are kept, by their names.
func (t *loadsTyped) overLines(list *sootline.LoadList) (said bool, err error) {
	if t.flags.Changed("panel-ma") {
		own, err := parseLoad(sootline.OwnDraw + "=1x" + t.own)
		if err != nil {
			return true, sootline.Errorf(sootline.Invalid, "for example --panel-ma 120/250", "%q is not a draw at rest and in alarm", t.own)
		}
		restMA, alarmMA := milliOf(own.Rest), milliOf(own.Alarm)
		list.OwnRestMA, list.OwnAlarmMA, said = &restMA, &alarmMA, true
	}
	lines, err := t.typedLines()
	for _, load := range lines {
		i := loadNamed(list, load.Name)
		switch {
		case i < 0:
			list.Loads = append(list.Loads, load)
		case list.Loads[i].Part != load.Part:
			return true, sootline.Errorf(sootline.Conflict, "give it another name, or take the other away with --forget", "%q is a line of %s already, and would be lost", load.Name, list.Loads[i].Part)
		default:
			list.Loads[i] = load
		}
	}
	return said || len(lines) > 0, err
}

// typedLines reads the lines that were typed. Two of one name would leave only one.
func (t *loadsTyped) typedLines() ([]sootline.PanelLoad, error) {
	var lines []sootline.PanelLoad
	for _, part := range sootline.LoadParts() {
		for _, text := range *t.lines[part] {
			line, err := parseLoad(text)
			if err != nil {
				return nil, err
			}
			load := sootline.PanelLoad{Part: part, Name: strings.TrimSpace(line.Name), Count: line.Count, RestMA: milliOf(line.Rest), AlarmMA: milliOf(line.Alarm)}
			if slices.ContainsFunc(lines, func(l sootline.PanelLoad) bool { return strings.EqualFold(l.Name, load.Name) }) {
				return nil, sootline.Errorf(sootline.Invalid, "give each line a name of its own", "%q is typed twice, and one of the two would be lost", load.Name)
			}
			lines = append(lines, load)
		}
	}
	return lines, nil
}

// milliOf is a typed current in mA, without what the conversion to amperes left.
func milliOf(a app.Amps) float64 {
	x, _ := strconv.ParseFloat(mA(a), 64)
	return x
}

func loadNamed(list *sootline.LoadList, name string) int {
	return slices.IndexFunc(list.Loads, func(l sootline.PanelLoad) bool { return strings.EqualFold(l.Name, name) })
}

// forgetLoad takes a figure or a line out of a list.
func forgetLoad(list *sootline.LoadList, name string) error {
	switch name {
	case "panel-ma":
		list.OwnRestMA, list.OwnAlarmMA = nil, nil
		return nil
	case "rule":
		list.Rule = ""
		return nil
	case "coldest":
		list.Coldest = nil
		return nil
	}
	for _, figure := range loadsFigures() {
		if figure.flag == name {
			*figure.of(list) = 0
			return nil
		}
	}
	i := loadNamed(list, name)
	if i < 0 {
		return sootline.Errorf(sootline.Invalid, "for example --forget charger-ma", "%q is neither a figure nor a line of the load list", name)
	}
	list.Loads = slices.Delete(list.Loads, i, i+1)
	return nil
}

func standbyUndo(s *session) *cobra.Command {
	return &cobra.Command{
		Use: "undo PANEL", Short: "Take the load list of a panel back, so that the one before it holds again",
		Long: "Take the load list of a panel back by an entry that withdraws it; nothing is removed from the\n" +
			"log. The list before it holds again, or none.",
		Example: "  sootline standby undo 1", Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			panel := sootline.CleanName(args[0])
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				before, err := a.UndoLoads(cmd.Context(), site.ID, panel)
				if err != nil {
					return err
				}
				text := "Taken back. Panel " + panel + " has no load list now."
				if before != nil {
					text = "Taken back. What holds again: " + sootline.Say(before.LoadList) + "."
				}
				_, err = fmt.Fprintln(s.out, s.wrap(text, 0))
				return err
			})
		},
	}
}
