package app
import ("testing";"os";"strconv";"fmt";"sootline/internal/worlds/listings")
func TestZZRaw(t *testing.T){ seed,err:=strconv.ParseUint(os.Getenv("SEED"),10,64); if err!=nil {t.Skip()}; l:=listings.Make(seed); fmt.Printf("%s\n", l.Data)}
