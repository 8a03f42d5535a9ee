import type { RoomOpening, RoomSocket, RoomThing } from "../api/types";
import { cm, fourWalls, inPart, put } from "./edit";
import { Act, Fold, Num, Text } from "./fields";
import { usePlan } from "./hold";
import { piecesOf } from "./RoomPlan";
import { Rows } from "./Rows";
import { Say } from "./Say";

/** The room in lengths: what the tape said, and where the piece at hand stands. */
export function RoomLengths() {
  const { planning, plan, told } = usePlan();
  const room = plan.room ?? {};
  const walls = room.walls ?? [];
  const place = plan.place ?? {};
  return (
    <>
      <AtHand />
      {plan.musician?.at === undefined && told.room.room ? <PlaceMusician /> : undefined}
      <Say words="walls" verdict={told.room.verdict} />
      <Say words="sun" verdict={told.sun.verdict} />
      {(told.sun.on_face ?? []).map((s) => (
        <p key={s.window} class="tb-line">
          <i>{s.window}</i> {s.words} on the face
        </p>
      ))}
      <Fold words="walls and ceiling" open={walls.length === 0}>
        {plain(walls) ? (
          <FourWalls />
        ) : (
          <Rows
            called="a wall"
            things={walls}
            columns={[
              { field: "length", words: "length", unit: "m", step: 0.01 },
              { field: "turn", words: "then turn right by", unit: "°", step: 5 },
            ]}
            fresh={() => ({ length: 1, turn: 90 })}
            onPut={(all) => inPart("room", "walls", all)}
          />
        )}
        <div class="tb-fields">
          <Num words="ceiling" unit="m" value={room.ceiling} onPut={(v) => inPart("room", "ceiling", v)} />
          <Num words="the plan’s up points, from north," unit="°" step={5} zero value={room.up} onPut={(v) => inPart("room", "up", v)} />
          {plain(walls) && walls.length > 0 ? <Act change={(p) => put(p, "room", { ...p.room, walls: [...walls.slice(0, 1), { length: 1, turn: -90 }, ...walls.slice(1)] })}>it has more than four walls</Act> : undefined}
        </div>
      </Fold>
      <Fold words="doors, windows, mirrors, glass">
        <Rows<RoomOpening>
          called="an opening"
          things={room.openings}
          columns={[
            { field: "name", words: "name", text: true },
            { field: "kind", words: "is a", of: ["door", "window", "mirror", "glass"] },
            { field: "wall", words: "in wall", first: 1 },
            { field: "from", words: "from its corner", unit: "m", step: 0.05, zero: true },
            { field: "width", words: "wide", unit: "m", step: 0.05 },
            { field: "sill", words: "from", unit: "m", step: 0.05, zero: true },
            { field: "top", words: "up to", unit: "m", step: 0.05 },
          ]}
          fresh={() => ({ name: "", kind: "window", wall: 0, from: 0.5, width: 1, sill: 0.9, top: 2, thick: 0, skyline: 0 })}
          onPut={(all) => inPart("room", "openings", all)}
        />
      </Fold>
      <Fold words="sockets and what stands there">
        <Rows<RoomSocket>
          called="a socket"
          things={room.sockets}
          columns={[
            { field: "name", words: "socket", text: true },
            { field: "circuit", words: "circuit", text: true },
            { field: "wall", words: "in wall", first: 1 },
            { field: "at", words: "from its corner", unit: "m", step: 0.05, zero: true },
          ]}
          fresh={() => ({ name: "", circuit: "", wall: 0, at: 0.5, height: 0.3 })}
          onPut={(all) => inPart("room", "sockets", all)}
        />
        <Rows<RoomThing>
          called="a thing"
          things={room.things}
          columns={[
            { field: "name", words: "thing", text: true },
            { field: "radius", words: "half its width", unit: "m", step: 0.05 },
            { field: "height", words: "high", unit: "m", step: 0.05 },
          ]}
          fresh={() => ({ name: "", kind: "furniture", at: { x: 0.5, y: 0.5 }, radius: 0.3, height: 0.8 })}
          onPut={(all) => inPart("room", "things", all)}
        />
      </Fold>
      <Fold words="place and day">
        <div class="tb-fields">
          <Text words="place" value={place.name} onPut={(v) => inPart("place", "name", v)} />
          <Text words="date" usual="2026-03-14" value={place.date} onPut={(v) => inPart("place", "date", v)} />
          <Num words="north" unit="°" step={0.1} value={place.latitude} onPut={(v) => inPart("place", "latitude", v)} />
          <Num words="east" unit="°" step={0.1} value={place.longitude} onPut={(v) => inPart("place", "longitude", v)} />
          <Text words="clock ahead of universal time by" usual="+01:00" value={place.zone} onPut={(v) => inPart("place", "zone", v)} />
        </div>
      </Fold>
      <Fold words="noise, and what goes back">
        <Rows
          called="a noise"
          things={(room.noise ?? []).map((name) => ({ name }))}
          columns={[{ field: "name", words: "what is heard, and how it is switched off", text: true }]}
          fresh={() => ({ name: "" })}
          onPut={(all) => inPart("room", "noise", all.map((n) => n.name ?? ""))}
        />
        <Rows
          called="what goes back"
          things={room.put_back}
          columns={[
            { field: "what", words: "moved or switched off", text: true },
            { field: "photo", words: "photo of how it was", text: true },
          ]}
          fresh={() => ({ what: "" })}
          onPut={(all) => inPart("room", "put_back", all)}
        />
        <Text words="rules of the house, exits, who has the key" wide value={room.notes} onPut={(v) => inPart("room", "notes", v)} />
      </Fold>
      {planning.item.value === "" && plan.musician?.at ? <p class="tw-quiet">Drag what stands in the room, or give it the arrow keys; with shift in larger steps.</p> : undefined}
    </>
  );
}

const plain = (walls: readonly { readonly turn: number }[]): boolean => walls.length === 0 || (walls.length === 4 && walls.every((w) => w.turn === 90));

/** Puts the musician into the middle, looking along the room. */
function PlaceMusician() {
  const { told } = usePlan();
  const d = told.room.drawing;
  if (!d) return undefined;
  const middle = { x: cm((d.low.x + d.high.x) / 2), y: cm(d.low.y + 0.65 * (d.high.y - d.low.y)) };
  return (
    <Act strong change={(p) => put(p, "musician", { ...p.musician, at: middle, faces: p.musician?.faces ?? 180 })}>
      put the musician into the room
    </Act>
  );
}

/** A room of four walls is two lengths. */
export function FourWalls() {
  const { plan } = usePlan();
  const walls = plan.room?.walls ?? [];
  const along = walls[0]?.length;
  const across = walls[1]?.length;
  const walk = (a: number | undefined, l: number | undefined) => inPart("room", "walls", a && l ? fourWalls(a, l) : a || l ? fourWalls(a ?? l ?? 0, l ?? a ?? 0) : undefined);
  return (
    <div class="tb-fields">
      <Num words="the room is across" unit="m" value={across} onPut={(v) => walk(v, along)} />
      <Num words="and along" unit="m" value={along} onPut={(v) => walk(across, v)} />
    </div>
  );
}

/** Where the piece at hand stands, in numbers. */
function AtHand() {
  const { planning, plan, told } = usePlan();
  const piece = piecesOf(plan, told, planning.light.value, planning.setup.value).find((p) => p.id === planning.item.value);
  if (!piece) return undefined;
  return (
    <div class="tb-fields tb-at-hand">
      <i>{piece.name}</i>
      <Num words="across" about={piece.name} unit="m" zero value={piece.at.x} onPut={(v) => piece.move({ x: v ?? 0, y: piece.at.y })} />
      <Num words="along" about={piece.name} unit="m" zero value={piece.at.y} onPut={(v) => piece.move({ x: piece.at.x, y: v ?? 0 })} />
      {piece.kind === "musician" ? (
        <>
          <Num words="looks towards" unit="°" step={5} zero value={plan.musician?.faces ?? 0} onPut={(v) => inPart("musician", "faces", v)} />
          <Num words="seat" unit="m" value={plan.musician?.seat} onPut={(v) => inPart("musician", "seat", v)} />
          <Num words="height" unit="m" value={plan.musician?.height} usual={told.defaults?.find((d) => d.key === "optics.figure")?.now} onPut={(v) => inPart("musician", "height", v)} />
        </>
      ) : undefined}
    </div>
  );
}
