package main

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/ear"
	"sootline/internal/store"
)

// valueFlags say what is read, and how often.
type valueFlags struct {
	name, modbus, mapFile string
	every                 time.Duration
	once                  bool
}

func listenValues(s *session) *cobra.Command {
	var flags valueFlags
	cmd := &cobra.Command{
		Use:   "values",
		Short: "Read resting values over Modbus TCP, and keep those that say something new",
		Long: "Read resting values over Modbus TCP, every day or as --every says, until it is interrupted. Only the\n" +
			"functions 1 to 4 can be asked: they read. --map names a CSV file of the columns point, unit, table,\n" +
			"register, scale: the table is 1 coils, 2 inputs, 3 holding registers, 4 input registers; registers count\n" +
			"from 0; the value is the register times the scale, or the register where none is given.\n\n" +
			"A value becomes a reading when two in a row are further from the reading before than noise explains,\n" +
			"and every sixty days. All values are kept as they came, beside the book.",
		Example: "  sootline listen values --modbus 192.0.2.8:502 --map registers.csv",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return s.openSite(cmd.Context(), func(a *app.App, site store.SiteLine) error {
				return s.listenValues(cmd.Context(), a, site, flags)
			})
		},
	}
	cmd.Flags().StringVar(&flags.name, "name", "bus", "what the source is called")
	cmd.Flags().StringVar(&flags.modbus, "modbus", "", "host and port of a Modbus server")
	cmd.Flags().StringVar(&flags.mapFile, "map", "", "which register is which point's")
	cmd.Flags().DurationVar(&flags.every, "every", 24*time.Hour, "how often, a minute at least")
	cmd.Flags().BoolVar(&flags.once, "once", false, "read once, and end")
	return cmd
}

// mapped is a line of the map.
type mapped struct {
	point string
	ask   ear.Reading
	scale float64
}

// readMap reads which register is which point's. Every line is good, or the map is refused with the line.
func readMap(path string) ([]mapped, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, sootline.Errorf(sootline.Invalid, "name a CSV file with --map", "cannot read the map: %w", err)
	}
	defer file.Close() // only read from
	in := csv.NewReader(file)
	in.FieldsPerRecord = -1
	in.TrimLeadingSpace = true
	var all []mapped
	for line := 1; ; line++ {
		row, err := in.Read()
		if err == io.EOF {
			break
		}
		if err == nil && line == 1 && strings.EqualFold(row[0], "point") {
			continue
		}
		var m mapped
		if err == nil {
			m, err = mappedOf(row)
		}
		if err != nil {
			return nil, sootline.Errorf(sootline.Invalid, "each line has a point, a unit, a table from 1 to 4, a register from 0, and a scale or none", "%s, line %d: %w", path, line, err)
		}
		all = append(all, m)
	}
	if len(all) == 0 {
		return nil, sootline.Errorf(sootline.Invalid, "write a line for each point", "%s names no point", path)
	}
	return all, nil
}

func mappedOf(row []string) (mapped, error) {
	m := mapped{scale: 1}
	if len(row) != 4 && len(row) != 5 {
		return m, fmt.Errorf("%d columns", len(row))
	}
	m.point = strings.TrimSpace(row[0])
	var n [3]int
	for i := range n {
		var err error
		if n[i], err = strconv.Atoi(strings.TrimSpace(row[i+1])); err != nil {
			return m, err
		}
	}
	if n[0] < 0 || n[0] > 255 || n[1] < 1 || n[1] > 4 {
		return m, fmt.Errorf("unit %d, table %d", n[0], n[1])
	}
	if len(row) == 5 && strings.TrimSpace(row[4]) != "" {
		scale, err := strconv.ParseFloat(strings.TrimSpace(row[4]), 64)
		if err != nil || scale == 0 || scale-scale != 0 {
			return m, fmt.Errorf("scale %q", row[4])
		}
		m.scale = scale
	}
	var err error
	m.ask, err = ear.ReadOf(byte(n[0]), ear.Table(n[1]), n[2], 1)
	return m, err
}

// valueRound reads all points of the map, again and again.
type valueRound struct {
	*session
	modbus  *ear.Modbus
	points  []mapped
	values  *app.Values
	journal *ear.Journal
}

func (s *session) listenValues(ctx context.Context, a *app.App, site store.SiteLine, flags valueFlags) (err error) {
	if flags.modbus == "" || flags.every < time.Minute {
		return usageError{errors.New("say where to read with --modbus HOST:PORT, and no more often than every minute")}
	}
	points, err := readMap(flags.mapFile)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(ctx, syscall.SIGINT, syscall.SIGTERM)
	defer stop()
	var names []string
	for _, m := range points {
		if !slices.Contains(names, m.point) {
			names = append(names, m.point)
		}
	}
	values, err := a.HearValues(ctx, site, flags.name, names)
	if err != nil {
		return err
	}
	journal, err := a.ValueJournal(site.ID, flags.name)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, journal.Close()) }()
	v := &valueRound{session: s, modbus: &ear.Modbus{Address: flags.modbus}, points: points, values: values, journal: journal}
	defer func() { err = errors.Join(err, v.modbus.Close()) }()
	if err := v.again(ctx); err != nil {
		return err
	}
	for {
		if err := v.round(ctx); err != nil || flags.once {
			return err
		}
		select {
		case <-ctx.Done():
			return nil
		case <-time.After(flags.every):
		}
	}
}

// again takes the values that were kept before, so that what is new is told from them.
func (v *valueRound) again(ctx context.Context) error {
	return v.journal.Each(0, func(_ int64, h ear.Heard) error {
		point, text, _ := strings.Cut(strings.TrimSpace(string(h.Bytes)), " ")
		value, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return nil // a line of another version
		}
		_, err = v.values.Hear(ctx, h.At, point, value)
		return err
	})
}

// round reads each point once.
func (v *valueRound) round(ctx context.Context) error {
	read, wrote, silent := 0, 0, 0
	for _, m := range v.points {
		if ctx.Err() != nil {
			return nil
		}
		registers, err := v.modbus.Read(ctx, m.ask)
		if err != nil {
			silent++
			fmt.Fprintf(v.err, "%s: no value: %v\n", m.point, err)
			continue
		}
		read++
		value := float64(registers[0]) * m.scale
		at := now()
		if err := v.journal.Add(ear.Heard{At: at, Bytes: []byte(m.point + " " + strconv.FormatFloat(value, 'g', -1, 64) + "\n")}); err != nil {
			return err
		}
		kept, err := v.values.Hear(ctx, at, m.point, value)
		if err != nil {
			return err
		}
		if kept {
			wrote++
		}
	}
	_, err := fmt.Fprintf(v.out, "%s  %s read, %s kept as readings, %s without an answer\n",
		now().In(v.values.Zone()).Format("2006-01-02 15:04"), count(read, "value", "values"), count(wrote, "value", "values"), count(silent, "point", "points"))
	return err
}
