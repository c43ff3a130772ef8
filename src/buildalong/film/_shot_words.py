"""Words of the shot list; common practice of filming hands at a table, whole sentences, one place."""

SHOWS = {
    "title": "The finished board at work, alone on a plain table.",
    "parts": "All parts laid out in the order of the list; a finger points at each as it is named.",
    "cautions": "You, or your hands resting beside the board, with the supply lying apart from it.",
    "ic": "{parts}: first held up so that its notch is seen, then pressed in with two thumbs.",
    "wire": "One end goes in, a short rest, then the other end.",
    "flat": "{parts}: bend the leads, show the bands, push it in flat.",
    "standing": "{parts}: show its legs, push it in.",
    "tall": "{parts}: show its legs, push it in; then tilt the board so that the holes are seen.",
    "polarised": "{parts}: hold both leads beside each other so that the direction is seen, then push it in.",
    "off-board": "{parts}: show it beside the board, then bring its leads to their holes.",
    "test": "The supply goes on, {lights} answers, the supply comes off again.",
    "check": "The whole board, slowly, row by row; a pencil points at what is named.",
    "supply": "{parts}: red lead first, then black; keep the hand off the board and let {lights} speak.",
    "work": "{lights} at work, at its true speed; press or cover what the trial says.",
    "how": "The finished board, still; the animation of the film goes beside it or over it.",
    "wrong": "The slip made on purpose, without the supply, then put right.",
    "end": "The finished board at work, and your hand taking the supply off at the very end.",
}
CAMERA = {
    "title": "From the front, low, as a child sees it.",
    "parts": "Straight from above, the whole sheet of paper in view.",
    "cautions": "From the front, table and hands in view.",
    "ic": "Straight from above and close: the trench and ten rows in view, row 1 where the pictures have it.",
    "wire": "Straight from above: the whole board in view, row numbers readable.",
    "flat": "Straight from above: the whole board in view, row numbers readable.",
    "standing": "Straight from above and close: ten rows in view.",
    "tall": "From the front at half height, so that the body does not hide its holes.",
    "polarised": "Close, from the front at half height; then straight from above for the holes.",
    "off-board": "Straight from above, the board and the space beside it in view.",
    "test": "From the front at half height, the lights in the middle.",
    "check": "Straight from above and close, moving along the board.",
    "supply": "Straight from above for the leads; then from the front for the lights.",
    "work": "From the front at half height, the lights in the middle, the camera at rest.",
    "how": "Straight from above, the camera at rest, free room beside the board.",
    "wrong": "Close, straight from above.",
    "end": "From the front, low; the same place as in the first shot.",
}
TIPS = {
    "title": "Dim the room a little; set the exposure by hand so that lights do not make the picture jump.",
    "parts": "A sheet of dull white paper below, lamp from the left, no shadow of your hand.",
    "ic": "Hold still for two seconds with the notch in view: turned round, the chip may be lost.",
    "wire": "Let the hole numbers be read before your hand covers them.",
    "flat": "Turn the bands to the camera before you push it in.",
    "polarised": "Rest on the longer lead, the stripe or the flat side: the eye needs two seconds.",
    "test": "Exposure and focus set by hand; a board that stays dark is taken off at once, film it anyway.",
    "check": "Film this longer than you think; learners stop the film here.",
    "supply": "Let the two bare ends never touch, not even for the camera.",
    "work": "Exposure by hand; if a light flickers in the picture, change the shutter time.",
    "wrong": "Keep the supply off the board in this shot.",
}
NO_LIGHT = "the circuit"

HEAD = ("shot", "scene", "title", "from", "seconds", "shows", "camera", "tip", "overlays")
