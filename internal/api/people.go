package api

import (
	"context"
	"net/http"

	"sootline"
	"sootline/internal/shape"
)

// NewPerson lets somebody sign in, or gives somebody another role and password.
type NewPerson struct {
	Body struct {
		Name     string `json:"name" minLength:"1" maxLength:"80"`
		Role     string `json:"role" enum:"technician,manager"`
		Password string `json:"password" writeOnly:"true" doc:"At least 15 characters"`
	}
}

func people(a *API) {
	list := func(ctx context.Context) (shape.People, error) {
		known, err := a.App.People(ctx)
		return shape.OfPeople(known), err
	}
	operation(a, "list-people", sootline.Manager, http.MethodGet, "/people", "Who may sign in", func(ctx context.Context, _ *None) (shape.People, error) { return list(ctx) })
	operation(a, "put-person", sootline.Manager, http.MethodPut, "/people", "Let somebody sign in, or give somebody another role and password", func(ctx context.Context, in *NewPerson) (shape.People, error) {
		if err := a.as(ctx).AddPerson(ctx, in.Body.Name, sootline.Role(in.Body.Role), in.Body.Password); err != nil {
			return shape.People{}, err
		}
		return list(ctx)
	})
}
