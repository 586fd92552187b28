package main

import (
	"os"
	"strings"

	"github.com/spf13/cobra"

	"sootline"
	"sootline/internal/app"
)

// bodyFlags are a flag for each field of a kind's form.
type bodyFlags struct {
	kind  sootline.Kind
	texts map[string]*string
	ticks map[string]*bool
}

// bodyFlagsOf adds the flags to a command; what is filled in elsewhere is left out.
func bodyFlagsOf(cmd *cobra.Command, kind sootline.Kind, without string) bodyFlags {
	f := bodyFlags{kind, map[string]*string{}, map[string]*bool{}}
	for _, field := range sootline.FieldsOf(kind) {
		name, label := strings.ReplaceAll(field.Key, "_", "-"), field.Label
		var values []string
		for _, c := range field.Choices {
			values = append(values, c.Value)
		}
		if len(values) > 0 {
			label += ": " + strings.Join(values, ", ")
		}
		switch {
		case field.Key == without:
		case field.Input == sootline.FlagInput:
			f.ticks[field.Key] = cmd.Flags().Bool(name, false, label)
		case field.Input == sootline.PhotoInput:
			f.texts[field.Key] = cmd.Flags().String(name, "", "a picture, as a JPEG file of at most 1 MB")
		default:
			f.texts[field.Key] = cmd.Flags().String(name, "", label)
		}
	}
	return f
}

// body makes what the flags say; a photo is kept first.
func (f bodyFlags) body(cmd *cobra.Command, a *app.App, more sootline.Form) (sootline.Body, error) {
	form := sootline.Form{}
	for key, value := range more {
		form[key] = value
	}
	for key, text := range f.texts {
		form[key] = *text
	}
	for key, on := range f.ticks {
		if *on {
			form[key] = "yes"
		}
	}
	if file := form["photo"]; file != "" {
		content, err := os.ReadFile(file)
		if err != nil {
			return nil, sootline.Errorf(sootline.NotFound, "name a JPEG file that is there", "the photo could not be read: %w", err)
		}
		if form["photo"], err = a.KeepPhoto(cmd.Context(), content); err != nil {
			return nil, err
		}
	}
	return sootline.BodyOf(f.kind, form)
}
