package firm

import (
	_ "embed"
	"encoding/csv"
	"errors"
	"fmt"
	"strings"
)

//go:embed kinds.csv
var kindsCSV string

// PersonKind is one of the eight kinds of person.
type PersonKind string

// Reach is which sites a kind of person sees.
type Reach string

// The reaches.
const (
	NoSites       Reach = "none"
	SitesOfFirm   Reach = "firm"
	SitesOfOffice Reach = "office"
	SitesOfTeam   Reach = "team"
	SitesOfClient Reach = "customer"
)

// Sees is a row of the table: what a kind of person may see. Accounts and journal are
// those of the person's own firm.
type Sees struct {
	Kind              PersonKind
	Sites             Reach
	Accounts, Journal bool
	Reason            string
}

// Kinds reads the table of what each of the eight kinds of person may see. A token and
// a phone see what whoever they were given out by may see, and no more.
func Kinds() ([]Sees, error) {
	rows, err := csv.NewReader(strings.NewReader(kindsCSV)).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("kinds.csv: %w", err)
	}
	if len(rows) < 2 {
		return nil, errors.New("kinds.csv holds no rows")
	}
	var table []Sees
	for _, row := range rows[1:] {
		table = append(table, Sees{PersonKind(row[0]), Reach(row[1]), row[2] == "yes", row[3] == "yes", row[4]})
	}
	return table, nil
}

// Somebody is a person of the marked firms, with the grant that their kind asks for. All
// but the stranger belong to a firm; Office, Team and Customer say of which a grant is.
type Somebody struct {
	Name                         string // itself a mark
	Sees                         Sees
	Firm, Office, Team, Customer string
}

// May reports whether somebody may see a mark.
func (p *Somebody) May(m Mark, all []Mark) bool {
	switch m.What {
	case AccountMark:
		return m.Text == p.Name || p.Sees.Accounts && m.Firm == p.Firm
	case JournalMark:
		return p.Sees.Journal && m.Firm == p.Firm
	case CustomerMark, FirmMark: // a name that stands on several sites: seen on any of them
		for _, other := range all {
			if other.Site != "" && (m.What == FirmMark && other.Firm == m.Firm || m.What == CustomerMark && other.Customer == m.Customer) && p.reaches(other) {
				return true
			}
		}
		return false
	}
	return p.reaches(m)
}

// reaches reports whether a mark of a site lies within the grant.
func (p *Somebody) reaches(m Mark) bool {
	if m.Firm != p.Firm {
		return false
	}
	switch p.Sees.Sites {
	case SitesOfFirm:
		return true
	case SitesOfOffice:
		return m.Office == p.Office
	case SitesOfTeam:
		return m.Team == p.Team
	case SitesOfClient:
		return m.Customer == p.Customer
	}
	return false
}
