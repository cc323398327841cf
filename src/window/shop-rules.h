/* shop-rules.h - the rules the window judges new jobs by: the program's own, with the shop's on top. */
#pragma once
#include <rakelight/rules.h>

/* The built-in set with every *.rules file of the user's rakelight/rules configuration folder read
 * over it, in the order of their names.
 *
 * returns  a rule set, never NULL; where a file cannot be read or has a fault, the set without it
 *          and those after it, and @error says which and why */
RakeRules *rake_shop_rules_load (GError **error);
