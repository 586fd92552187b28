package web

import (
	"encoding/json"
	"io"
	"net/http"
	"sync"
	"time"

	"sootline"
	"sootline/internal/app"
)

// passkeySteps keeps what passkeys were begun, until their answer comes: in memory, each
// for one answer.
type passkeySteps struct {
	mu    sync.Mutex
	begun map[string]begunPasskey // by challenge
}

type begunPasskey struct {
	step  *app.PasskeyStep
	until time.Time
}

const (
	passkeyTime      = 5 * time.Minute
	mostPasskeySteps = 10000
)

// keep remembers a step. Where very many were begun, the old ones give way.
func (p *passkeySteps) keep(step *app.PasskeyStep, now time.Time) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.begun == nil || len(p.begun) >= mostPasskeySteps {
		still := map[string]begunPasskey{}
		for challenge, b := range p.begun {
			if now.Before(b.until) && len(still) < mostPasskeySteps/2 {
				still[challenge] = b
			}
		}
		p.begun = still
	}
	p.begun[step.Challenge()] = begunPasskey{step, now.Add(passkeyTime)}
}

// take gives the step that an answer repeats the challenge of, once.
func (p *passkeySteps) take(challenge string, now time.Time) (*app.PasskeyStep, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	b, there := p.begun[challenge]
	delete(p.begun, challenge)
	if !there || !now.Before(b.until) {
		return nil, sootline.Errorf(sootline.Invalid, "begin again", "this took too long, or was answered before")
	}
	return b.step, nil
}

// passkeyAnswer is what the browser answers: with the device's own words as they are.
type passkeyAnswer struct {
	Challenge string          `json:"challenge"`
	Name      string          `json:"name"`
	Next      string          `json:"next"`
	Answer    json.RawMessage `json:"answer"`
}

// passkeyStep reads an answer, and gives what it answers.
func (s *Server) passkeyStep(r *http.Request) (passkeyAnswer, *app.PasskeyStep, app.PasskeyPlace, error) {
	var in passkeyAnswer
	text, err := io.ReadAll(r.Body)
	if err != nil {
		return in, nil, app.PasskeyPlace{}, unreadable(err)
	}
	if err := json.Unmarshal(text, &in); err != nil {
		return in, nil, app.PasskeyPlace{}, unreadable(err)
	}
	at, err := app.AtPlace(s.origin(r))
	if err != nil {
		return in, nil, at, err
	}
	step, err := s.passkeys.take(in.Challenge, s.App.Now())
	return in, step, at, err
}

// forScript lets a script read what went wrong.
func (s *Server) forScript(do func(w http.ResponseWriter, r *http.Request) error) func(w http.ResponseWriter, r *http.Request) error {
	return func(w http.ResponseWriter, r *http.Request) error {
		err := do(w, r)
		if err == nil || status(err) >= http.StatusInternalServerError {
			return err
		}
		trouble := sentence(err)
		if hint := sootline.ErrorHint(err); hint != "" {
			trouble += " " + sootline.AsSentence(hint)
		}
		w.Header().Set("Content-Type", "application/json")
		w.WriteHeader(status(err))
		return s.wentAway(r, json.NewEncoder(w).Encode(map[string]string{"trouble": trouble}))
	}
}

// giveStep hands a step to the browser.
func (s *Server) giveStep(w http.ResponseWriter, r *http.Request, step *app.PasskeyStep) error {
	s.passkeys.keep(step, s.App.Now())
	w.Header().Set("Content-Type", "application/json")
	_, err := w.Write(step.Options)
	return s.wentAway(r, err)
}

func (s *Server) beginPasskey(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	at, err := app.AtPlace(s.origin(r))
	if err != nil {
		return err
	}
	a := s.as(r)
	var step *app.PasskeyStep
	err = s.guessing(a, func() error {
		step, err = a.BeginPasskey(r.Context(), at, proofIn(r))
		return err
	})
	if err != nil {
		return err
	}
	return s.giveStep(w, r, step)
}

func (s *Server) addPasskey(w http.ResponseWriter, r *http.Request) error {
	in, step, at, err := s.passkeyStep(r)
	if err != nil {
		return err
	}
	a := s.as(r)
	if err := a.AddPasskey(r.Context(), at, step, in.Name, in.Answer); err != nil {
		return err
	}
	if err := s.continueSession(r, a, visitorOf(r)); err != nil {
		return err
	}
	return s.giveJSON(w, r, map[string]string{"to": "/account"})
}

func (s *Server) beginPasskeySignIn(w http.ResponseWriter, r *http.Request) error {
	at, err := app.AtPlace(s.origin(r))
	if err != nil {
		return err
	}
	step, err := s.App.BeginPasskeySignIn(at)
	if err != nil {
		return err
	}
	return s.giveStep(w, r, step)
}

// signInByPasskey signs somebody in. There is nothing to guess, so that tries are not
// counted.
func (s *Server) signInByPasskey(w http.ResponseWriter, r *http.Request) error {
	in, step, at, err := s.passkeyStep(r)
	if err != nil {
		return err
	}
	who := *s.App
	who.Who = sootline.Actor{From: s.address(r)}
	p, err := who.SignInByPasskey(r.Context(), at, step, in.Answer)
	if err != nil {
		return err
	}
	if err := s.beginSession(r, &who, p); err != nil {
		return err
	}
	return s.giveJSON(w, r, map[string]string{"to": localPath(in.Next)})
}
