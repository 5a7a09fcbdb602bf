// The one entry of the client bundle. Pages are read without it; to work in them needs it.

import { startBring } from "./bring";
import { startChance } from "./chance";
import { startDeeds } from "./deeds";
import { startFields } from "./field";
import { startDrop } from "./drop";
import { startFiles } from "./files";
import { startGrid } from "./grid";
import { startLeaving } from "./leave";
import { startLens } from "./lens";
import { tell } from "./page";
import { startPick } from "./pick";
import { startMarking } from "./mark";
import { startPlacing } from "./place";
import { startScroll } from "./scroll";
import { startStills } from "./stills";
import { startTrial } from "./trial";
import { startUnderWay } from "./under_way";
import { startWatch } from "./watch";

startScroll();
startGrid();
startFields();
startDeeds();
startPick();
startTrial();
startChance();
startBring();
startMarking();
startStills();
startPlacing();
startLens();
startFiles();
startDrop();
startUnderWay();
startWatch();
startLeaving(tell);

// Says to style sheets and tests that the bundle ran.
document.documentElement.dataset["client"] = "ready";
