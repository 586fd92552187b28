package web

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/base64"
	"mime"
	"net/http"
	"path"
	"strconv"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/paper"
	"sootline/internal/papers"
)

// paperAsked is a paper that an address asks for.
type paperAsked struct {
	wish   papers.Wish
	format paper.Format
	size   paper.Size
	survey *app.Survey
}

func (s *Server) paperAsked(r *http.Request) (*paperAsked, error) {
	survey, _, err := s.survey(r)
	if err != nil {
		return nil, err
	}
	ending := path.Ext(r.PathValue("file"))
	kind := strings.TrimSuffix(r.PathValue("file"), ending)
	format, ok := paper.FindFormat(strings.TrimPrefix(ending, "."))
	known := kind == papers.LabelsKind && format.Name == "pdf"
	for _, one := range papers.Kinds() {
		known = known || one.Name == kind
	}
	if !ok || !known {
		return nil, noPaper(r.PathValue("file"))
	}
	asked := &paperAsked{format: format, survey: survey}
	if asked.wish, err = s.paperWish(r, survey); err != nil {
		return nil, err
	}
	if asked.size, err = paper.FindSize(r.URL.Query().Get("size")); err != nil {
		return nil, err
	}
	asked.wish.Kind = kind
	asked.wish.Firm, err = s.firm()
	return asked, err
}

// givePaper makes a paper and hands it over: kept as a file, or read here as a
// page of its own. It is made whole before the first byte goes out.
func (s *Server) givePaper(w http.ResponseWriter, r *http.Request) error {
	if r.PathValue("file") == messageFile {
		return s.giveMessage(w, r)
	}
	asked, err := s.paperAsked(r)
	if err != nil {
		return err
	}
	var made bytes.Buffer
	if asked.wish.Kind == papers.LabelsKind {
		err = s.labels(r, asked.survey, asked.wish, &made)
	} else {
		err = s.paper(r, asked, &made)
	}
	if err != nil {
		return err
	}
	return s.hand(w, r, asked, made.Bytes())
}

// messageFile is the address of the visit report as plain text.
const messageFile = papers.MessageKind + ".txt"

// giveMessage gives page one of the visit report as plain text, to send on.
func (s *Server) giveMessage(w http.ResponseWriter, r *http.Request) error {
	survey, _, err := s.survey(r)
	if err != nil {
		return err
	}
	text, err := s.message(r, survey)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	_, err = w.Write([]byte(text))
	return s.wentAway(r, err)
}

// message is the visit report as a message, of the day and time that an address asks for.
func (s *Server) message(r *http.Request, survey *app.Survey) (string, error) {
	wish, err := s.paperWish(r, survey)
	if err != nil {
		return "", err
	}
	if wish.Firm, err = s.firm(); err != nil {
		return "", err
	}
	if optionsOf(r.URL.Query()).On == "" {
		wish.Survey = survey // which is judged once for all who look
	}
	return papers.Message(r.Context(), s.as(r), survey.Register.Site.ID, wish)
}

// issuePaper issues a paper and hands it over.
func (s *Server) issuePaper(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadable(err)
	}
	asked, err := s.paperAsked(r)
	if err != nil {
		return err
	}
	if asked.wish.Kind == papers.LabelsKind {
		return noPaper(r.PathValue("file"))
	}
	as := s.as(r)
	if as.Form, err = sootline.ParseID(r.PostForm.Get("id")); err != nil {
		return sootline.Errorf(sootline.Invalid, "begin again with a fresh form", "the form has no id: %w", err)
	}
	issued, err := papers.Issue(r.Context(), as, asked.survey.Register.Site.ID, asked.wish, asked.format, asked.size)
	if err != nil {
		return err
	}
	return s.hand(w, r, asked, issued.File)
}

func (s *Server) hand(w http.ResponseWriter, r *http.Request, asked *paperAsked, made []byte) error {
	sendPaper(w, asked.format, asked.size, paperName(asked.survey, asked.wish, asked.format))
	_, err := w.Write(made)
	return s.wentAway(r, err)
}

func noPaper(file string) error {
	return sootline.Errorf(sootline.NotFound, "choose one under Papers", "there is no paper %q", file)
}

func (s *Server) paper(r *http.Request, asked *paperAsked, made *bytes.Buffer) error {
	d, err := papers.Make(r.Context(), s.as(r), asked.survey.Register.Site.ID, asked.wish)
	if err != nil {
		return err
	}
	if asked.format.Name == "csv" && !d.Tabular() {
		return sootline.Errorf(sootline.NotFound, sootline.ErrorHint(papers.NoTable()), "%w", papers.NoTable())
	}
	return asked.format.Write(made, d, asked.size)
}

func (s *Server) labels(r *http.Request, survey *app.Survey, wish papers.Wish, made *bytes.Buffer) error {
	q := r.URL.Query()
	labels := papers.LabelWish{Paper: wish, Sheet: q.Get("sheet"), Outline: q.Get("outline") != ""}
	if labels.Sheet == "" {
		labels.Size = q.Get("size")
	}
	if text := strings.TrimSpace(q.Get("first")); text != "" {
		first, err := strconv.Atoi(text)
		if err != nil || first < 1 {
			return sootline.Errorf(sootline.Invalid, "count along the rows from the top left, which is 1", "%q is not the number of a label on its sheet", text)
		}
		labels.Skip = first - 1
	}
	_, err := papers.Labels(r.Context(), s.as(r), survey.Register.Site.ID, labels, made)
	return err
}

// paperWish reads from an address what a paper is to show.
func (s *Server) paperWish(r *http.Request, survey *app.Survey) (papers.Wish, error) {
	o := optionsOf(r.URL.Query())
	if r.URL.Query().Get("code") != "" {
		return papers.Wish{}, sootline.Errorf(sootline.Invalid, "state it once, for all papers", "the code that a site follows is a fact of the site and lives in its log").Do(sootline.StateFacts)
	}
	wish := papers.Wish{Point: o.Point, Loop: o.Loop, Bench: r.URL.Query().Get("run")}
	var err error
	if wish.On, err = endOf(o.On, survey.Zone); err != nil {
		return wish, err
	}
	if wish.On.IsZero() {
		wish.On = s.App.Now()
	}
	if wish.From, err = typedDay(o.From, survey.Zone); err != nil {
		return wish, err
	}
	if wish.To, err = endOf(o.To, survey.Zone); err != nil {
		return wish, err
	}
	if !wish.From.IsZero() && wish.From.After(cmp.Or(wish.To, wish.On)) {
		return wish, sootline.Errorf(sootline.Invalid, "", "from %s on is after the end of the time chosen", o.From)
	}
	return wish, nil
}

// sendPaper sets the headers of a paper. One that is read here is a page that
// holds its own style: the policy allows that one style by its hash, pictures
// that stand in the page itself, and nothing else.
func sendPaper(w http.ResponseWriter, format paper.Format, size paper.Size, name string) {
	h, how := w.Header(), "attachment"
	if format.Name == "html" {
		how = "inline"
		sum := sha256.Sum256([]byte(paper.PageStyle(size)))
		h.Set("Content-Security-Policy", "default-src 'none'; style-src 'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+
			"'; img-src data:; form-action 'none'; base-uri 'none'; frame-ancestors 'none'")
	}
	h.Set("Content-Type", format.Type)
	h.Set("Content-Disposition", mime.FormatMediaType(how, map[string]string{"filename": name}))
}

// paperName names the file by site, paper and day, with letters that every
// system takes.
func paperName(survey *app.Survey, wish papers.Wish, format paper.Format) string {
	kind := wish.Kind
	if p, err := app.PointNamed(survey.Register, wish.Point); err == nil && (kind == "point" || kind == papers.LabelsKind) {
		kind += "-" + plain(p.Ref().String())
	}
	return plain(survey.Register.Site.Name) + "-" + kind + "-" + wish.On.In(survey.Zone).Format(time.DateOnly) + "." + format.Name
}

// plain keeps the letters a to z and the figures of a name, with a hyphen for
// what is between.
func plain(name string) string {
	const most = 40
	parts := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') })
	text := strings.Join(parts, "-")
	return cmp.Or(strings.Trim(text[:min(most, len(text))], "-"), "site")
}

// giveLogo gives the firm's logo, so that it can be seen where papers are chosen.
func (s *Server) giveLogo(w http.ResponseWriter, _ *http.Request) error {
	firm, err := s.firm()
	if err != nil {
		return err
	}
	if len(firm.Logo) == 0 {
		return sootline.Errorf(sootline.NotFound, "", "the firm has no logo")
	}
	w.Header().Set("Content-Type", http.DetectContentType(firm.Logo)) // PNG or JPEG: whoever read the firm's file looked at it
	_, err = w.Write(firm.Logo)
	return err
}
