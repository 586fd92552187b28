package main

import (
	"strings"

	"sootline"
)

// logAddExamples says, by kind, how an entry of it is added by hand: what stands behind `sootline log add KIND`.
func logAddExamples() map[sootline.Kind]string {
	const id = "01890a5d-ac96-774b-bcce-b302099a8057"
	return map[sootline.Kind]string{
		sootline.AddressedKind: `--point 1.2.073 --found 37 --how panel`,
		sootline.AlarmKind:     `--point 1.2.073 --at 2026-01-15T09:30 --category unwanted --cause cooking --attended`,
		sootline.AliasKind:     `--of type --said "Larch optical" --means Larch`,
		sootline.AreaKind:      `--area "North wing" --floor 1 --m2 640`,
		sootline.BenchKind:     `--state opened --name "loop 2"`,
		sootline.BenchedKind:   `--run ` + id + ` --outcome rejected --serial A1B2 --reason "cracked base"`,
		sootline.ChangedKind:   `--text "alarm delay of the kitchen taken out"`,
		sootline.CleanedKind:   `--point 1.2.073 --at 2026-01-15 --text "flour dust"`,
		sootline.DefectKind:    `--point 1.2.073 --nature obstruction --grade serious --text "a shelf below it"`,
		sootline.DisabledKind:  `--point 1.2.073 --cause "paint work"`,
		sootline.FaultKind:     `--point 1.2.073 --at 2026-01-15T09:30 --cause "open circuit"`,
		sootline.FittedKind:    `--point 1.2.073 --panel 1 --loop 2 --type Larch --location "over the door" --area Kitchen`,
		sootline.FollowedKind:  `--defect ` + id + ` --told "R. Person" --by-day 2026-01-31`,
		sootline.LoadsKind:     `--panel 1 --own-rest-ma 120 --own-alarm-ma 250`,
		sootline.LoopKind:      `--panel 1 --loop 2 --first 1 --last 126 --unset 127`,
		sootline.MeasuredKind:  `--panel 1 --loop 2 --occasion service --plus-ohms 4.8 --minus-ohms 4.7 --plus-earth-mohm 80`,
		sootline.MendedKind:    `--defect ` + id + ` --text "shelf moved"`,
		sootline.MovedKind:     `--point 1.2.073 --panel 1 --loop 2 --location "over the hatch"`,
		sootline.NoteKind:      `--text "soak test begun"`,
		sootline.OpenedKind:    `--responsible "R. Person" --monitoring "by telephone, before and after"`,
		sootline.RadialKind:    `--panel 1 --circuit BELLS --volts 24 --mm2 1.5 --devices '[{"name":"bell 1","metres":40}]'`,
		sootline.ReadKind:      `--point 1.2.073 --value "25 26 25"`,
		sootline.RebasedKind:   `--point 1.2.073 --text "panel relearned"`,
		sootline.RemovedKind:   `--point 1.2.073 --text "room pulled down"`,
		sootline.ReplacedKind:  `--point 1.2.073 --type Larch --serial A1B2`,
		sootline.RestoredKind:  `--point 1.2.073`,
		sootline.RetestedKind:  `--defect ` + id,
		sootline.ServiceKind:   `--order "North wing" --order Kitchen`,
		sootline.SetKind:       `--point 1.2.073 --found blink=off`,
		sootline.SheetKind:     `--name Larch --device "optical smoke" --bands '[{"low":20,"high":40}]'`,
		sootline.SupplyKind:    `--panel 1 --loop 2 --volts 24 --mm2 1.5`,
		sootline.TestedKind:    `--point 1.2.073 --at 2026-01-15`,
		sootline.UnreachedKind: `--point 1.2.073 --text "room locked"`,
		sootline.VisitKind:     `--state closed --left normal`,
		sootline.WishKind:      `--area Bedrooms --settings blink=off --reason "guests sleep there"`,
	}
}

// logAddExample is the whole line for a kind.
func logAddExample(kind sootline.Kind) string {
	return strings.TrimSpace("  sootline log add " + string(kind) + " " + logAddExamples()[kind])
}
