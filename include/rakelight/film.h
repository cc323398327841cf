/* film.h - how much film a zone has left, line by line, and what could go wrong.
 *
 * The film is clear over colour or wood. The ledger of a zone begins with the coats, is replaced by
 * the first gauge reading (whose doubt is its own), averages later readings in, loses what each pass
 * takes times the zone's edge factor, and gains what recoats and fills add. docs/film.md has each step
 * with its reasons. */
#pragma once
#include <rakelight/facts.h>
#include <rakelight/rates.h>

typedef enum
{
  RAKE_FILM_COAT,      /* a coat, or a recoat */
  RAKE_FILM_SCUFF,     /* taken off below a coat before it */
  RAKE_FILM_READING,   /* a gauge's number, averaged in; the first one replaces the coats' sum */
  RAKE_FILM_PASSES,    /* passes at one stage one after another */
  RAKE_FILM_REPAIR,    /* scraped, levelled or filled */
} RakeFilmLineKind;

typedef struct
{
  RakeFilmLineKind kind;
  const RakeEntry *entry;    /* the (last) entry behind the line; the job's */
  const RakeStage *stage;    /* of passes; NULL when no schedule has it any more */
  guint n_passes;
  RakeNormal change;         /* mean signed; of a reading what was read */
  RakeNormal film;           /* after it */
  RakeNormal last_coat;      /* above the line under the last coat; NaN when coats fuse */
  RakeRateOrigin origin;     /* of passes: where the rate comes from */
  int way;                   /* of coats: a RakeCoatingWay */
} RakeFilmLine;

typedef enum
{
  RAKE_FILM_KNOWN,
  RAKE_FILM_NO_COATS,        /* neither coats nor a reading */
  RAKE_FILM_COAT_UNKNOWN,    /* a coat whose film cannot be reckoned, and no reading since */
  RAKE_FILM_RATE_UNKNOWN,    /* a pass with a grade or compound that nobody knows, and no reading since */
} RakeFilmStanding;

typedef struct
{
  RakeFilmStanding standing;
  const RakeEntry *obstacle; /* the entry that leaves it unknown, or NULL */
  GArray *lines;             /* RakeFilmLine, in order */
  RakeNormal film;           /* now; NaN unless KNOWN */
  RakeNormal last_coat;      /* now; NaN where coats fuse or it is not known */
  RakeNormal sprayed;        /* at the last coat, before any pass since: for the picture */
  double reserve_um;         /* NaN: not said; the risks are then of reaching 0 */
  double risk_now, risk_after_next_pass, risk_at_end;
  double last_coat_risk_now, last_coat_risk_after_next_pass, last_coat_risk_at_end;
  RakeNormal next_pass;      /* what one pass more at the zone's stage takes; NaN without a rate */
  RakeNormal to_come;        /* what the stages after this one will take; 0 after the last */
  const RakeStage *stage_under; /* the first stage to come at whose end a risk is over the limit */
} RakeFilm;

/* The film of @zone as the job stands. Never NULL.
 *
 * limits  for the limit of risk where the job sets none; may not be NULL */
RakeFilm *rake_film_take (const RakeJob *job, const RakeZone *zone, const RakeRates *rates,
                          const RakeLimits *limits);
void rake_film_free (RakeFilm *film);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeFilm, rake_film_free)

/* The probability that what is left is under the reserve. */
double rake_film_risk (RakeNormal film, double reserve_um);

/* A gauge's doubt where the reading names none: an engineering estimate. */
#define RAKE_FILM_USUAL_GAUGE_SD_UM 3.0

/* One translated line for a person: "Four passes at P800, rate assumed". Caller frees. */
char *rake_film_line_describe (const RakeFilmLine *line);

/* Why a film is not known and what would make it so, translated; NULL when it is known. */
char *rake_film_describe_standing (const RakeFilm *film);
