package web

import (
	"context"

	"sootline"

	"sootline/internal/app"
)

// rulesSetting is by which rules things fall due on a site.
func rulesSetting() setting {
	return setting{name: "rules", title: "Visit rules", form: rulesForm, write: writeRules}
}

func rulesForm(survey *app.Survey, _ string) (*settingForm, error) {
	chosen := app.RuleSetOf(survey.Register)
	own := len(survey.Register.Site.Service.Rules) > 0 && chosen == ""
	form := &settingForm{Note: "They say what falls due, and when. They hold from now on; what was done stays as it was written down."}
	if own {
		form.Note += " The site has rules of its own now: another choice takes their place."
	}
	choices := ruleChoices(chosen)
	if own {
		choices = append([]choiceLine{{Says: "rules of its own", Chosen: true}}, choices...)
	}
	form.Groups = []fieldGroup{{Fields: []formField{{Name: "rules", Label: "Visit rules", Choices: choices}}}}
	return form, nil
}

// ruleChoices lists the sets of rules; where none was chosen, the first holds.
func ruleChoices(chosen string) []choiceLine {
	var choices []choiceLine
	for _, set := range app.RuleSets() {
		choices = append(choices, choiceLine{set.Name, set.Says, set.Name == chosen})
	}
	return choices
}

func writeRules(ctx context.Context, a *app.App, survey *app.Survey, f *typedForm) error {
	name := f.text("rules")
	if name == "" {
		return nil // its own stay
	}
	return a.ChooseRules(ctx, survey.Register.Site.ID, name)
}

// saysRules tells by which rules things fall due.
func saysRules(survey *app.Survey) string {
	name := app.RuleSetOf(survey.Register)
	for i, set := range app.RuleSets() {
		switch {
		case set.Name == name:
			return sootline.AsSentence(set.Says)
		case i == 0 && len(survey.Register.Site.Service.Rules) == 0:
			return sootline.AsSentence(set.Says)
		}
	}
	return "The site has rules of its own."
}
