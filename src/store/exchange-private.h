/* exchange-private.h - what reading one line and importing many share. */
#pragma once
#include "store-private.h"

#include <rakelight/exchange.h>

/* What "@name" is a name in, from the first job entry: its id; but when that is itself a name's id
 * (version 8), or nil, the id that the job's name stands for in the nil space. So a text that names
 * the job "@job" has the same ids wherever it is imported, and another job has others. */
RakeId rake_exchange_get_name_space (RakeId job_id, const char *job_name);

/* Whether a line is a job entry, and what space of names it would begin. */
gboolean rake_exchange_peek_job (const char *line, gsize length, RakeId *name_space,
                                 gboolean *has_id);
