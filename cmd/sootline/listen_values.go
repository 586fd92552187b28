package main

import (
	"context"
	"errors"
	"fmt"
	"os/signal"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/store"
)

// valueFlags say what is read, and how often.
type valueFlags struct {
	name, via, address, mapFile string
	speed                       int
	every                       time.Duration
	once                        bool
	keep                        int
}

func listenValues(s *session) *cobra.Command {
	var flags valueFlags
	cmd := &cobra.Command{
		Use:   "values",
		Short: "Read resting values over Modbus, MQTT or BACnet/IP, and keep those that say something new",
		Long: "Read resting values every day, or as --every says, until it is interrupted. Of Modbus the functions 1\n" +
			"to 4 can be asked, of BACnet/IP ReadProperty and SubscribeCOV; of MQTT topics are subscribed to. Nothing\n" +
			"that writes can leave.\n\n" +
			"--map names a table, CSV or XLSX say, with the columns point, source, unit, scale; `listen source --show`\n" +
			"says what it would do. A source is, by --via:\n\n" +
			"  modbus, modbus-serial  unit:table:register; the table is 1 coils, 2 inputs, 3 holding registers,\n" +
			"                         4 input registers; registers count from 0\n" +
			"  bacnet                 an object, analog-input:12 say\n" +
			"  mqtt                   a topic, or topic|key where an object of JSON has the value by a key\n\n" +
			"The value is what is read times the scale. It becomes a reading when two in a row are further from the\n" +
			"reading before than noise explains, and every sixty days. All values are kept as they came, beside the\n" +
			"book. Without --via it is what is kept with the site under --name.",
		Example: "  sootline listen values --via modbus --address 192.0.2.8:502 --map registers.csv",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				return s.listenValues(cmd.Context(), a, site, flags)
			})
		},
	}
	cmd.Flags().StringVar(&flags.name, "name", "bus", "what the source is called")
	cmd.Flags().StringVar(&flags.via, "via", "", "by what values are read: modbus, modbus-serial, mqtt, bacnet")
	cmd.Flags().StringVar(&flags.address, "address", "", "host and port, or the device file of a serial line")
	cmd.Flags().StringVar(&flags.mapFile, "map", "", "which value is of which point")
	cmd.Flags().IntVar(&flags.speed, "speed", 0, "bits a second of a serial line (else 19200)")
	cmd.Flags().DurationVar(&flags.every, "every", 24*time.Hour, "how often, a minute at least")
	cmd.Flags().BoolVar(&flags.once, "once", false, "read once, and end")
	cmd.Flags().IntVar(&flags.keep, "keep", 60, "for how many days what was read is kept as it came")
	cmd.MarkFlagsRequiredTogether("via", "address", "map")
	return cmd
}

// valueSource is what the flags name, or what is kept with the site.
func (s *session) valueSource(ctx context.Context, a *app.App, site store.SiteLine, flags valueFlags) (sootline.Source, error) {
	if flags.every < time.Minute {
		return sootline.Source{}, usageError{errors.New("values are read no more often than every minute")}
	}
	if flags.via == "" {
		return a.SourceNamed(ctx, site.ID, flags.name)
	}
	read, err := a.ReadMapFile(ctx, site.ID, flags.via, flags.mapFile)
	if err != nil {
		return sootline.Source{}, err
	}
	return sootline.Source{Name: flags.name, Via: flags.via, Address: flags.address, Speed: flags.speed, Places: read.Places, Minutes: int(flags.every / time.Minute)}, nil
}

func (s *session) listenValues(ctx context.Context, a *app.App, site store.SiteLine, flags valueFlags) (err error) {
	source, err := s.valueSource(ctx, a, site, flags)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(ctx, syscall.SIGINT, syscall.SIGTERM)
	defer stop()
	hearer, err := a.ValueHearer(context.WithoutCancel(ctx), site, source, flags.keep)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, hearer.Close()) }()
	read, wrote := 0, 0
	hearer.Say = func(text string) { fmt.Fprintln(s.err, text) }
	hearer.Told = func(at time.Time, point string, value float64, kept bool) {
		read++
		if kept {
			wrote++
			fmt.Fprintf(s.out, "%s  %-10s %.6g\n", at.In(hearer.Zone()).Format("2006-01-02 15:04"), point, value)
		}
	}
	if !flags.once {
		return hearer.Listen(ctx)
	}
	if err := hearer.Once(ctx); err != nil {
		return err
	}
	_, err = fmt.Fprintf(s.out, "%s  %s read, %s kept as readings, %s without an answer\n",
		now().In(hearer.Zone()).Format("2006-01-02 15:04"), count(read, "value", "values"), count(wrote, "value", "values"), count(hearer.Places()-read, "point", "points"))
	return err
}
