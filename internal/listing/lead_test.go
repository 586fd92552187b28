package listing

import (
	"fmt"
	"testing"
)

// TestPointBeforeItsText: prints of events with the point in front of its text are read; a row without a point is refused.
func TestPointBeforeItsText(t *testing.T) {
	site := NewKnown()
	for n := 1; n <= 3; n++ {
		site.AddPoint(Ref{Panel: "1", Loop: "2", Address: n}, ScheduleRow{Type: "Juniper O"})
		site.AddPoint(Ref{Panel: "1", Loop: "1", Address: n}, ScheduleRow{Type: "Juniper O"})
	}
	text := "16/09/2025 14:05:11  ALARM    L1 D001 Weighbridge office\n16/09/2025 14:09:40  RESET\n16/09/2025 15:05:11  FAULT    L1 D002 Loading bay north\n17/09/2025 08:05:11  DISABLED L1 D003\n"
	if u, got := eventsOf(t, site, text, Profile{}); got != "1,alarm ! 2,fault !" && got != "1,alarm ! 2,fault 3,disabled" || len(u.Questions) > 0 {
		t.Errorf("%s %v %s", got, u.Questions, u.KindWhy)
	}
	u, got := eventsOf(t, site, "16.09.2025 14:05;Alarm;1/001 Büro\n16.09.2025 15:05;Störung;1/002 Rampe\n", Profile{})
	if got != "1,alarm 2,fault" || len(u.Questions) > 0 {
		t.Errorf("%s %v", got, u.Questions)
	}
	for cell, want := range map[string]string{"L1 D001 Weighbridge office": "1.1 Weighbridge office", "Loop 1 Addr 073 Hall": "1.73 Hall", "1/73": "", "L1 corridor": "", "Room 104 north": ""} {
		got := ""
		if ref, rest := cutLead(cell); rest != "" {
			got = fmt.Sprintf("%s.%d %s", ref.Loop, ref.Address, rest)
		}
		if got != want {
			t.Errorf("%s: %s", cell, got)
		}
	}
}
