//! Order list to outcomes: the only room with disk and threads.
