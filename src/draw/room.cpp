// placeholder until the room's first source lands
