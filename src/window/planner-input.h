/* planner-input.h - what the planner page asks the planner: the grades on hand, texture, buffing, and
 * the face as it stands. Remembered for this machine in settings.ini, group "planner". */
#pragma once
#include "session.h"

#include <rakelight/planner.h>

typedef struct
{
  GPtrArray *choices;        /* char *: the grades offered, coarsest first */
  GPtrArray *on_hand;        /* char *: those of them that are there */
  RakeTexture texture;
  RakeBuffing buffing;
  GArray *grades;            /* RakePlannerGrade: what planner.grades points at */
  RakePlannerInput planner;  /* as last taken */
} RakePlannerInputs;

RakePlannerInputs *rake_planner_inputs_new (void);
void rake_planner_inputs_free (RakePlannerInputs *self);

/* Texture and buffing as the job says, or as they were last; @session may be NULL. */
void rake_planner_inputs_begin (RakePlannerInputs *self, RakeSession *session);

gboolean rake_planner_inputs_is_on_hand (const RakePlannerInputs *self, const char *grade);
void rake_planner_inputs_set_on_hand (RakePlannerInputs *self, const char *grade,
                                      gboolean is_on_hand);
void rake_planner_inputs_choose (RakePlannerInputs *self, RakeTexture texture, RakeBuffing buffing);

/* One grade more, put where it belongs and on hand at once. FALSE with RAKE_GRADE_ERROR. */
gboolean rake_planner_inputs_add_choice (RakePlannerInputs *self, const char *text, GError **error);

/* Fills in @self->planner for @face as it stands. FALSE with @error saying what is missing. */
gboolean rake_planner_inputs_take (RakePlannerInputs *self, RakeSession *session,
                                   const RakeFace *face, GError **error);

/* What one pass with each grade on hand takes, and how that is known, one a line; caller frees. */
char *rake_planner_inputs_describe_rates (const RakePlannerInputs *self, RakeSession *session);

/* "Thinnest zone 92 ± 9 µm, 40 µm must stay, 214 cm² to work"; caller frees. */
char *rake_planner_inputs_describe_film (const RakePlannerInputs *self);
