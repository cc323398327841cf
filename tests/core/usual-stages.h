/* usual-stages.h - a schedule that stories go through, and the numbers of its stages. */
#pragma once

#define STAGES "level P800, refine P1200, refine P2000, last-look, buff cut, rest"
enum
{
  P800,
  P1200,
  P2000,
  LAST_LOOK,
  CUT,
  REST
};
