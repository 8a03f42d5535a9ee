import { render } from "preact";
import { Day } from "./day";
import { Phone } from "./Phone";
import "./phone.css";

const day = new Day(localStorage, document.documentElement.dataset["film"] ?? "");
const root = document.getElementById("page");
if (root) render(<Phone day={day} />, root);
day.open();
