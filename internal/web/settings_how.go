package web

import (
	"context"

	"sootline/internal/app"
)

// howSetting is how the number of a type is set, which its cards show as a picture.
func howSetting() setting {
	return setting{name: "how", title: "How its number is set", form: howForm, write: writeHow}
}

func howForm(survey *app.Survey, of string) (*settingForm, error) {
	form := &settingForm{
		Title: "How a number is set", Note: "It is written into the sheet of the type. It stands in the device’s own instructions; the setting card shows it as a picture.",
	}
	if of != "" {
		form.Title = "How a number is set on type " + of
	}
	stands := app.HowOf(survey.Register, of)
	choices := []choiceLine{{Says: "not written down", Chosen: stands == ""}}
	for _, c := range app.HowChoices() {
		choices = append(choices, choiceLine{c.Writes, c.Says, c.Writes == stands})
	}
	form.Groups = []fieldGroup{{Fields: []formField{
		{Name: "name", Label: "Type", Value: of, Fixed: of != ""},
		{Name: "how", Label: "How its number is set", Choices: choices},
	}}}
	return form, nil
}

func writeHow(ctx context.Context, a *app.App, survey *app.Survey, f *typedForm) error {
	return a.SayHowSet(ctx, survey.Register.Site.ID, f.text("name"), f.text("how"))
}
