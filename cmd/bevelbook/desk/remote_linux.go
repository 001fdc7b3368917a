package desk

import "golang.org/x/sys/unix"

// remotes are file systems on which others may write unheard, by their magic numbers (Linux, magic.h).
var remotes = map[uint32]string{
	unix.NFS_SUPER_MAGIC: "NFS", unix.SMB_SUPER_MAGIC: "SMB", unix.CIFS_SUPER_MAGIC: "SMB", unix.SMB2_SUPER_MAGIC: "SMB",
	unix.AFS_SUPER_MAGIC: "AFS", unix.CEPH_SUPER_MAGIC: "Ceph", unix.V9FS_MAGIC: "9P", unix.FUSE_SUPER_MAGIC: "FUSE", unix.CODA_SUPER_MAGIC: "Coda",
	0x786f4256: "a shared folder of a virtual machine",
}

// remote names the file system of a folder if others may write on it unheard, "" else.
func remote(dir string) string {
	var s unix.Statfs_t
	if unix.Statfs(dir, &s) != nil {
		return ""
	}
	return remotes[uint32(s.Type)]
}
