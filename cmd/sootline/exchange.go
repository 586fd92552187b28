package main

import (
	"errors"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/exchange"
)

func bookExchange(s *session) *cobra.Command {
	var flags withFlags
	var sites []string
	cmd := &cobra.Command{
		Use: "exchange [FOLDER]", Short: "Bring this book and another to hold the same, by a stick or a server",
		Long: "Bring this book and another one to hold the same lines and photos of the sites that both have; only\n" +
			"what one of them lacks is sent. In a FOLDER, on a stick for example, each side in its turn takes in what\n" +
			"the other left there and leaves what the other lacks: the same command on either machine, until it says\n" +
			"that both hold the same. With --with a server is asked, and all is done at once; what was cut goes on\n" +
			"where it stopped. A site that this book does not have yet comes whole when it is named by --site.",
		Example: "  sootline book exchange /media/stick --site Works --site Mill\n" +
			"  sootline book exchange /media/stick\n" +
			"  sootline book exchange --with https://works.example:8344 --as \"A. Tech\"",
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if (flags.server == "") == (len(args) == 0) {
				return usageError{errors.New("name a folder, or a server with --with")}
			}
			return s.open(cmd.Context(), true, func(a *app.App) error {
				if flags.server != "" {
					return s.exchangeWith(cmd.Context(), a, &flags, sites)
				}
				return s.exchangeIn(cmd.Context(), a, args[0], sites)
			})
		},
	}
	cmd.Flags().StringArrayVar(&sites, "site", nil, "only this site, by its name; may be given again. Left out: all that this book has")
	flags.add(cmd)
	return cmd
}

// brought gathers what came in over several parcels.
type brought struct {
	sites  []app.ExchangedSite
	photos int
}

func (b *brought) add(in app.Exchanged) {
	b.photos += in.Photos
	for _, site := range in.Sites {
		i := slices.IndexFunc(b.sites, func(s app.ExchangedSite) bool { return s.ID == site.ID })
		if i < 0 {
			b.sites = append(b.sites, site)
			continue
		}
		b.sites[i].Added += site.Added
		b.sites[i].Changed = site.Changed
	}
}

// tell says what came in.
func (s *session) tellBrought(b *brought) {
	for _, site := range b.sites {
		if site.Added == 0 {
			continue
		}
		word := "Site " + site.Name
		if site.New {
			word = "New: site " + site.Name
		}
		fmt.Fprintf(s.out, "%s: %s came in.\n", word, count(site.Added, "line", "lines"))
		if site.Changed > 0 {
			fmt.Fprintf(s.out, "  %s changed in two places: `sootline check --site %s` tells which, and how it is settled.\n", count(site.Changed, "fact was", "facts were"), shellWord(site.Name))
		}
	}
	if b.photos > 0 {
		fmt.Fprintf(s.out, "%s came in.\n", count(b.photos, "photo", "photos"))
	}
}

// linesOf counts the lines of parcels by site.
func linesOf(parcels []exchange.Parcel) (lines int, photos int) {
	for i := range parcels {
		for _, run := range parcels[i].Runs {
			lines += len(run.Lines)
		}
		photos += len(parcels[i].Photos)
	}
	return lines, photos
}

func badParcel(name string, err error) error {
	return sootline.Errorf(sootline.ErrorCode(err), sootline.ErrorHint(err), "%s: %w", name, err)
}
