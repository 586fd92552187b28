package web

import (
	"context"
	"net/http"

	"sootline"
	"sootline/internal/api"
	"sootline/internal/app"
	"sootline/internal/store"
)

// mostCall is room for the largest body that an operation of the API takes;
// each bounds its own further.
const mostCall = 257 << 20

// newAPI gives the API what the pages have: who asks, the sites kept folded, the
// one table of statuses, and what people read of an error.
func (s *Server) newAPI() *api.API {
	return api.New(api.Config{
		App: s.App, Status: status,
		Who: func(ctx context.Context) sootline.Actor {
			return s.asIn(ctx).Who
		},
		Survey: func(ctx context.Context, site sootline.ID) (*app.Survey, error) {
			survey, _, err := s.surveyOf(ctx, site)
			return survey, err
		},
		Shown: func(ctx context.Context, lines []store.SiteLine) error {
			if asks, ok := ctx.Value(askerKey{}).(*asker); ok {
				return s.shown(asks.request.WithContext(ctx), lines)
			}
			return nil
		},
		Sentence: func(ctx context.Context, err error) string {
			v, _ := ctx.Value(visitorKey{}).(visitor)
			return s.told(v, err)
		},
		Trouble: func(ctx context.Context, err error) {
			if asks, ok := ctx.Value(askerKey{}).(*asker); ok {
				s.noteTrouble(asks.request, err)
			}
		},
		Demo: s.demoIn, Firm: s.firm,
		OwnPassword: func(ctx context.Context, proof app.Proof, password string) error {
			return s.ownPassword(ctx, s.asIn(ctx), proof, password)
		},
	})
}

// OpenAPI gives the document that describes the API.
func (s *Server) OpenAPI() ([]byte, error) { return s.api.OpenAPI().MarshalJSON() }

func (s *Server) answerAPI(w http.ResponseWriter, r *http.Request) error {
	s.api.ServeHTTP(w, r)
	return nil
}
