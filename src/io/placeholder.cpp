namespace gaugeloom {}
