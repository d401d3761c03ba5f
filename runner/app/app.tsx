import { useEffect } from "react";
import { HomePage } from "./home-page.tsx";
import { ReportPage } from "./report-page.tsx";
import { useRoute } from "./route.ts";
import { RunPage } from "./run-page.tsx";
import { StartPage } from "./start-page.tsx";
import { TrafficPage } from "./traffic-page.tsx";

/** The technician's app: one page at a time, by the address' hash. */
export function App() {
  const route = useRoute();
  // biome-ignore lint/correctness/useExhaustiveDependencies: a page begins at its top.
  useEffect(() => {
    window.scrollTo(0, 0);
  }, [route.page]);
  switch (route.page) {
    case "home":
      return <HomePage />;
    case "start":
      return <StartPage key={route.procedure} procedure={route.procedure} />;
    case "run":
      return <RunPage key={route.run} run={route.run} />;
    case "report":
      return <ReportPage key={route.run} run={route.run} />;
    case "traffic":
      return <TrafficPage {...(route.procedure === undefined ? {} : { procedure: route.procedure })} />;
  }
}
