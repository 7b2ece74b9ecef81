#pragma once

// The wording in the language the program is built for (HOLDWARDEN_LANGUAGE, a choice of the
// build).
#include HOLDWARDEN_MESSAGES
